package journal

import (
	"slices"
	"testing"

	"voltwright/internal/notes"
	"voltwright/internal/runlog"
)

// The front matter takes the words that the reader of logs takes, and no other.
func TestLogWordsAreTheReaders(t *testing.T) {
	for _, tt := range []struct {
		name    string
		options []notes.Option
		reader  []string
	}{
		{"time", TimeFormat("").Options(), runlog.TimeFormats()},
		{"decimal", DecimalMark("").Options(), runlog.Decimals()},
		{"separator", Separator("").Options(), runlog.Separators()},
	} {
		var names []string
		for _, o := range tt.options {
			names = append(names, o.Name)
		}
		reader := slices.Clone(tt.reader)
		slices.Sort(names)
		slices.Sort(reader)
		if !slices.Equal(names, reader) {
			t.Errorf("log.%s takes %v, the reader %v", tt.name, names, reader)
		}
	}
}
