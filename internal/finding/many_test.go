package finding

import (
	"fmt"
	"strings"
	"testing"
)

// A list keeps a bounded number of findings of a kind, counts the others, and hides no callout.
func TestListIsBounded(t *testing.T) {
	file := func(n int) Span { return Span{Source: NewSource(fmt.Sprintf("%d.md", n), nil)} }
	var one List
	for k := range MaxAlike + 3 {
		one.Add(Finding{Rule: "a", Level: Error, Span: file(1), Text: fmt.Sprint(k)})
		one.Add(Finding{Rule: "b", Level: Warning, Signal: Danger, Span: file(1), Text: fmt.Sprint(k)})
	}
	if n := one.Len(); n != MaxAlike+1+MaxAlike+3 {
		t.Errorf("%d are kept", n)
	}
	if n := one.Count(Error); n != MaxAlike+1 {
		t.Errorf("%d are counted", n)
	}
	if last := one.All()[one.Len()-1]; last.Signal != Danger {
		t.Errorf("the last is %v", last)
	}
	told := ""
	for _, f := range one.All() {
		if strings.Contains(f.Text, "more places") {
			told += f.Text + "; " + f.Remedy
		}
	}
	if !strings.Contains(told, "at 3 more places of this file") || !strings.Contains(told, "see to those") {
		t.Errorf("it tells %q", told)
	}
	var many List
	for k := range MaxOfRule + 7 {
		many.Add(Finding{Rule: "a", Level: Note, Span: file(k), Text: "x"})
	}
	if n := many.Len(); n != MaxOfRule+1 {
		t.Errorf("%d are kept of a rule", n)
	}
	if text := many.All()[MaxOfRule].Text; !strings.Contains(text, "at 7 more places of this and of other files") {
		t.Errorf("it tells %q", text)
	}
}
