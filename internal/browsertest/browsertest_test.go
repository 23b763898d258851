package browsertest

import (
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
)

// A page that leads elsewhere while it is asked is no failure: the page that comes is asked. The server takes its time, so
// that questions fall into every moment of the change.
func TestAPageThatIsLeftIsAskedAgain(t *testing.T) {
	ctx, _ := Open(t)
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path != "/0" {
			time.Sleep(60 * time.Millisecond)
		}
		w.Header().Set("Content-Type", "text/html")
		fmt.Fprintf(w, "<!doctype html><title>t</title><p id=at>%s</p>", r.URL.Path)
	}))
	t.Cleanup(server.Close)
	Go(t, ctx, server.URL+"/0")
	for i := 1; i <= 12; i++ {
		Act(t, ctx, fmt.Sprintf("location = '/%d'", i))
		// A promise that the change of pages cuts off, and one that it does not.
		if got := Evaluate[string](t, ctx, `new Promise(done => setTimeout(() => done(document.getElementById('at').textContent), 70))`); got != fmt.Sprintf("/%d", i) && got != fmt.Sprintf("/%d", i-1) {
			t.Errorf("step %d: %q", i, got)
		}
		Wait(t, ctx, fmt.Sprintf(`document.getElementById('at')?.textContent === '/%d'`, i))
	}
	Leave(t, ctx)
}

// No test of pages waits for time: it asks for what it needs, with Wait. Sleeps that try the product against time have their
// reason here.
func TestNoBrowserTestWaitsForTime(t *testing.T) {
	waits := regexp.MustCompile(`time\.(Sleep|After|Tick|NewTimer)\(|chromedp\.Sleep`)
	looked := 0
	err := filepath.WalkDir("..", func(path string, d os.DirEntry, err error) error {
		if err != nil || !strings.HasSuffix(path, "_test.go") || path == "../browsertest/browsertest_test.go" {
			return err
		}
		text, err := os.ReadFile(path)
		if err != nil || !strings.Contains(string(text), `"voltwright/internal/browsertest"`) {
			return err
		}
		looked++
		for i, line := range strings.Split(string(text), "\n") {
			if waits.MatchString(line) && !strings.Contains(line, "case <-time.After(time.Minute)") { // an end to patience, no wait
				t.Errorf("%s:%d waits for time: %s", path, i+1, strings.TrimSpace(line))
			}
		}
		return nil
	})
	if err != nil || looked < 5 {
		t.Errorf("%d tests of pages looked at: %v", looked, err)
	}
}

// What can only be true of a page that is not there yet is waited for no longer than patience lasts.
func TestAgainEndsWithPatience(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	if !again(ctx) {
		t.Error("there is time, and it is not asked again")
	}
	cancel()
	if again(ctx) {
		t.Error("it is asked again when there is no time left")
	}
}
