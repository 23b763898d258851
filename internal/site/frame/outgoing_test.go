package frame

import (
	"errors"
	"io"
	"strings"
	"testing"
)

// A file that could be written anew when it was looked at, and no longer when the site is written, is named in what is said of it.
func TestFileThatCanNoLongerBeWrittenAnew(t *testing.T) {
	const log = "cart/1-first/log.csv"
	reason := errors.New("half of it is gone")
	pages := NewPages(func(string) (io.ReadCloser, error) { return io.NopCloser(strings.NewReader("")), nil })
	fails := func(io.Reader) (io.Reader, func() []string, error) { return nil, nil, reason }
	if err := pages.CleanFrom("log.csv", log, fails, nil); err != nil {
		t.Fatal(err)
	}
	_, opened := pages.Open("log.csv")
	_, listed := pages.Outgoing()
	for _, err := range []error{opened, listed} {
		if !errors.Is(err, reason) || !strings.Contains(err.Error(), log) {
			t.Errorf("%v, want the file and the reason", err)
		}
	}
}
