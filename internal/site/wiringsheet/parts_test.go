package wiringsheet

import (
	"testing"
)

// The cut list begins with how many leads there are of each size, whatever their colours.
func TestCutListInShort(t *testing.T) {
	totals := &whipTotals{Rows: []whipTotalRow{{Size: "10 mm²", Colour: "red", Pieces: 3}, {Size: "10 mm²", Colour: "black", Pieces: 2}, {Size: "1.5 mm²", Pieces: 1}}}
	if got, want := totals.InShort(), "10 mm²: 5 leads; 1.5 mm²: 1 lead"; got != want {
		t.Errorf("%q, not %q", got, want)
	}
}
