// Package browsertest opens pages in a real browser for the tests of the packages that make them. No package of the
// product imports it.
package browsertest

import (
	"context"
	"errors"
	"os/exec"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// Policy is what every page must work under.
const Policy = "default-src 'self'"

// Patience is how long one step may take before the test fails. It is no wait: nothing takes longer than it needs. It is
// long enough for a machine whose cores have other work.
const Patience = 2 * time.Minute

// Console collects what pages complain about.
type Console struct {
	mu    sync.Mutex
	lines []string
}

func (c *Console) say(text string) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.lines = append(c.lines, text)
}

// Take gives the complaints since the last Take.
func (c *Console) Take() []string {
	c.mu.Lock()
	defer c.mu.Unlock()
	lines := c.lines
	c.lines = nil
	return lines
}

// Open opens a browser with one tab, closed at the end of the test. The test is skipped where there is no Chromium.
func Open(t testing.TB) (context.Context, *Console) {
	t.Helper()
	binary := ""
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if found, err := exec.LookPath(name); err == nil {
			binary = found
			break
		}
	}
	if binary == "" {
		t.Skip("needs Chromium on the path")
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(binary), chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.UserDataDir(t.TempDir()), chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true))
	allocator, stop := chromedp.NewExecAllocator(context.Background(), options...)
	t.Cleanup(stop)
	ctx, cancel := chromedp.NewContext(allocator)
	t.Cleanup(cancel)
	if err := chromedp.Do(ctx); err != nil {
		t.Fatalf("start the browser: %v", err)
	}
	c := &Console{}
	err := chromedp.Listen(ctx, func(event any) {
		switch e := event.(type) {
		case *log.EventEntryAdded:
			c.say(e.Entry.Text + " " + e.Entry.URL)
		case log.EventEntryAdded:
			c.say(e.Entry.Text + " " + e.Entry.URL)
		case *runtime.EventConsoleAPICalled:
			c.say("console: " + string(e.Type))
		case *runtime.EventExceptionThrown:
			text := "exception: " + e.ExceptionDetails.Text
			if e.ExceptionDetails.Exception != nil {
				text += " " + e.ExceptionDetails.Exception.Description
			}
			c.say(text)
		}
	})
	if err != nil {
		t.Fatal(err)
	}
	return ctx, c
}

// Go leads the tab to an address.
func Go(t testing.TB, ctx context.Context, address string) {
	t.Helper()
	within, cancel := context.WithTimeout(ctx, Patience)
	defer cancel()
	if err := chromedp.Do(within, chromedp.Navigate(address)); err != nil {
		t.Fatalf("%s: %v", address, err)
	}
}

// Leave leads the tab to an empty page, so that nothing is under way any more when a server goes.
func Leave(t testing.TB, ctx context.Context) { t.Helper(); Go(t, ctx, "about:blank") }

// Act has the page do what may lead it elsewhere: press a link, go back. It does not wait for what comes of it, since the
// page that would answer may be gone by then; [Wait] for what is to be there.
func Act(t testing.TB, ctx context.Context, script string) {
	t.Helper()
	within, cancel := context.WithTimeout(ctx, Patience)
	defer cancel()
	if _, err := chromedp.Run(within, chromedp.Evaluate[bool]("(setTimeout(() => { "+script+" }, 0), true)")); err != nil && !left(err) {
		t.Fatalf("%s: %v", script, err)
	}
}

// left says whether a script got no answer because its page was left meanwhile.
func left(err error) bool {
	return err != nil && (errors.Is(err, chromedp.ErrTargetDetached) || strings.Contains(err.Error(), "navigated") || strings.Contains(err.Error(), "context was destroyed") || strings.Contains(err.Error(), "Cannot find context"))
}

// Evaluate gives what a script comes to on the page; a promise is waited for. The script asks and changes nothing that
// cannot be done twice: where its page is left before it could answer, the next one is asked.
func Evaluate[T any](t testing.TB, ctx context.Context, script string) T {
	t.Helper()
	within, cancel := context.WithTimeout(ctx, Patience)
	defer cancel()
	for {
		v, err := chromedp.Run(within, chromedp.Evaluate[T](script, chromedp.EvalAwaitPromise))
		if err == nil {
			return v
		}
		if !left(err) || !again(within) {
			t.Fatalf("%s: %v", script, err)
		}
	}
}

// Width makes the page as wide as a screen of so many CSS pixels; below 500 it is a phone's.
func Width(t testing.TB, ctx context.Context, pixels int64) {
	t.Helper()
	_, err := chromedp.Call(ctx, emulation.SetDeviceMetricsOverride, emulation.SetDeviceMetricsOverrideParams{
		Width: pixels, Height: 900, DeviceScaleFactor: 1, Mobile: pixels < 500})
	if err != nil {
		t.Fatal(err)
	}
}

// Wait asks until a script comes to true. A page that is being left or loaded has no answer, and is asked again.
func Wait(t testing.TB, ctx context.Context, script string) {
	t.Helper()
	within, cancel := context.WithTimeout(ctx, Patience)
	defer cancel()
	for {
		is, err := chromedp.Run(within, chromedp.Evaluate[bool](script, chromedp.EvalAwaitPromise))
		if err == nil && is {
			return
		}
		if !again(within) {
			t.Fatalf("it never came to %s: %v", script, err)
		}
	}
}

// again says whether there is time to ask once more, a moment later.
func again(within context.Context) bool {
	select {
	case <-within.Done():
		return false
	case <-time.After(20 * time.Millisecond):
		return true
	}
}
