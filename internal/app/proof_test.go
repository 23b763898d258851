package app

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"maps"
	"math"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"voltwright/internal/browsertest"
	"voltwright/internal/site"
)

// trial is a trial print that a test has started, with the lines that it said.
type trial struct {
	t     testing.TB
	at    string
	lines chan string
	err   *bytes.Buffer
}

// prove starts a trial print of a journal at any port. It must end when the test does.
func prove(t *testing.T, dir string) *trial {
	t.Helper()
	tr, _ := proveAt(t, dir, 0)
	return tr
}

// proveAt starts a trial print at a port, and gives a way to end it before the test does.
func proveAt(t *testing.T, dir string, port int) (*trial, func()) {
	t.Helper()
	return proveWith(t, dir, port, means{})
}

// proveWith does so with a store.
func proveWith(t testing.TB, dir string, port int, m means) (*trial, func()) {
	t.Helper()
	out, w := io.Pipe()
	tr := &trial{t: t, lines: make(chan string, 256), err: &bytes.Buffer{}}
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() {
		ended <- serveProof(ctx, w, tr.err, m, dir, port, true)
		w.Close()
	}()
	go func() {
		defer close(tr.lines)
		for s := bufio.NewScanner(out); s.Scan(); {
			tr.lines <- s.Text()
		}
	}()
	stop := sync.OnceFunc(func() {
		cancel()
		if err := <-ended; err != nil {
			t.Errorf("the trial print ended with %v", err)
		}
	})
	t.Cleanup(stop)
	tr.at = regexp.MustCompile(`http://\S+`).FindString(tr.until("Trial print 1: "))
	return tr, stop
}

// until waits for a line that begins so.
func (tr *trial) until(begins string) string {
	tr.t.Helper()
	ctx, stop := context.WithTimeout(context.Background(), 5*time.Minute)
	defer stop()
	for {
		select {
		case line, ok := <-tr.lines:
			if !ok {
				tr.t.Fatalf("it ended without a line %q; it said %s", begins, tr.err)
			}
			if strings.HasPrefix(line, begins) {
				return line
			}
		case <-ctx.Done():
			tr.t.Fatalf("there is no line %q", begins)
		}
	}
}

func (tr *trial) page(path string) string {
	tr.t.Helper()
	r, err := http.Get(tr.at + path)
	if err != nil {
		tr.t.Fatal(err)
	}
	defer r.Body.Close()
	body, err := io.ReadAll(r.Body)
	if err != nil {
		tr.t.Fatal(err)
	}
	return string(body)
}

// starter is a new journal of the test's own, and a way to change a note of it: texts and what takes their places, all at once.
func starter(t *testing.T) (dir string, change func(file string, pairs ...string)) {
	t.Helper()
	dir = filepath.Join(t.TempDir(), "journal")
	if err := beginJournal(io.Discard, dir); err != nil {
		t.Fatal(err)
	}
	return dir, func(file string, pairs ...string) {
		t.Helper()
		name := filepath.Join(dir, file)
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		for i := 0; i < len(pairs); i += 2 {
			if !bytes.Contains(text, []byte(pairs[i])) {
				t.Fatalf("%s has no %q", file, pairs[i])
			}
			text = bytes.Replace(text, []byte(pairs[i]), []byte(pairs[i+1]), 1)
		}
		next := filepath.Join(filepath.Dir(name), ".next") // seen whole or not at all
		if err := errors.Join(os.WriteFile(next, text, 0o644), os.Rename(next, name)); err != nil {
			t.Fatal(err)
		}
	}
}

const (
	starterVersion = "trolley/1-first-pack/version.md"
	starterPage    = "trolley/1-first-pack/"
)

// A trial print is the site as publish writes it, and the band; nothing is written.
func TestTrialPrintIsTheSite(t *testing.T) {
	dir, _ := starter(t)
	t.Chdir(t.TempDir())
	before := looks(dir)
	tr := prove(t, dir)
	if err := (publishing{dir: dir, to: filepath.Join(t.TempDir(), "site")}).publish(io.Discard, io.Discard, means{}); err != nil {
		t.Fatal(err)
	}
	in, err := read(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer in.close()
	pages, err := layOut(in)
	if err != nil {
		t.Fatal(err)
	}
	head := regexp.MustCompile(`(?s)<link rel="stylesheet" href="/\.trial/trial\.css">\n<script src="/\.trial/trial\.js" defer></script>\n`)
	band := regexp.MustCompile(`(?s)<aside class="trial.*?</aside>\n`)
	compared := 0
	for _, name := range pages.Paths() {
		want, err := pages.Bytes(name)
		if err != nil {
			t.Fatal(err)
		}
		got := tr.page(name)
		if strings.HasSuffix(name, ".html") {
			if len(head.FindAllString(got, -1)) != 1 || len(band.FindAllString(got, -1)) != 1 {
				t.Errorf("%s does not have one band", name)
			}
			got = band.ReplaceAllString(head.ReplaceAllString(got, ""), "")
		}
		if got != string(want) {
			t.Errorf("%s is not as it would be published", name)
		}
		compared++
	}
	if compared < 20 {
		t.Errorf("only %d files were compared", compared)
	}
	if looks(dir) != before {
		t.Error("the journal was changed")
	}
	if left, err := os.ReadDir("."); err != nil || len(left) > 0 {
		t.Errorf("something was written: %v %v", left, err)
	}
}

// A journal that would not be published is seen as it stands, with what keeps it, wherever that can be laid out; else the
// last print stays.
func TestTrialPrintOfWhatWouldNotBePublished(t *testing.T) {
	dir, change := starter(t)
	tr := prove(t, dir)
	step := func(print string, page string, wants ...string) {
		t.Helper()
		tr.until("Trial print " + print + ". ")
		text := tr.page(page)
		for _, want := range wants {
			if !strings.Contains(text, want) {
				t.Errorf("print %s: %q does not say %q", print, page, want)
			}
		}
	}
	if front := tr.page(""); !strings.Contains(front, "Open DANGER and WARNING across the vehicles: none") {
		t.Error("something is open in the first journal")
	}

	change(starterVersion, "[1 h 34 min]", "[2 h 34 min]")
	step("2", starterPage, "Publish would refuse it: 1 error.", `href="#at-fault"`, `at-fault" id="at-fault"`, "2 h 34 min</a>", "version.md:")
	if front := tr.page(""); !strings.Contains(front, `href="/trolley/1-first-pack/#at-fault"`) || !strings.Contains(front, "To be mended first") {
		t.Error("the front page does not lead to the words at fault")
	}

	change(starterVersion, "[2 h 34 min]", "[1 h 34 min]", "charger: {chemistry: lfp, voltage: 14.4 V", "charger: {chemistry: lfp, voltage: 16.9 V")
	step("3", "", "Open DANGER and WARNING across the vehicles: 1", "DANGER, not answered", "16.9 V", "#callout-charge-voltage-high", "The platform trolley, version 1")
	if err := (publishing{dir: dir, to: filepath.Join(t.TempDir(), "site")}).publish(io.Discard, io.Discard, means{}); err == nil {
		t.Error("publish does not refuse what the trial print says it would")
	}
	if page := tr.page(starterPage); !strings.Contains(page, `<li class="callout" id="callout-charge-voltage-high">`) {
		t.Error("the callout does not stand where the band leads")
	}

	change(starterVersion, "state: running", "state: walking")
	step("4", starterPage, "It does not come out: 2 errors. What you see is print 3.", "walking", "16.9 V")

	change(starterVersion, "state: walking", "state: running", "16.9 V", "14.4 V")
	step("5", starterPage, "Nothing keeps it from being published.")

	away := dir + "-away"
	if err := os.Rename(dir, away); err != nil {
		t.Fatal(err)
	}
	step("6", starterPage, "It does not come out: 1 error. What you see is print 5.", "is there and may be read")
	if err := os.Rename(away, dir); err != nil {
		t.Fatal(err)
	}
	step("7", starterPage, "Nothing keeps it from being published.")
}

// A page that is laid out first, since somebody waits for it, is as it would be in its turn, and so are all others.
func TestPagesThatAreWaitedFor(t *testing.T) {
	dir, _ := starter(t)
	in, err := read(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer in.close()
	judge(in)
	build := func(first ...string) (files map[string]string, laid []string) {
		t.Helper()
		files = map[string]string{}
		pages, err := lay(in, reopening(dir), first, func(p *site.Pages, page string) {
			text, err := p.Bytes(page)
			if err != nil {
				t.Fatal(err)
			}
			laid = append(laid, page+" "+string(text))
		}, nil)
		if err != nil {
			t.Fatal(err)
		}
		for _, name := range pages.Paths() {
			text, err := pages.Bytes(name)
			if err != nil {
				t.Fatal(err)
			}
			files[name] = string(text)
		}
		return files, laid
	}
	want, laid := build()
	if len(laid) > 0 {
		t.Error("nobody waits, and a page is told of")
	}
	alone := 0
	for name := range want {
		if !strings.HasSuffix(name, ".html") {
			continue
		}
		got, laid := build(name, "nowhere/index.html")
		if !maps.Equal(got, want) {
			t.Errorf("with %s first the site is another", name)
		}
		if len(laid) == 1 && laid[0] == name+" "+want[name] {
			alone++
		} else if len(laid) > 0 {
			t.Errorf("%s is laid out first and is another then", name)
		}
	}
	if alone < 5 {
		t.Errorf("only %d pages are laid out first", alone)
	}
}

// A page that is open shows the next print by itself, says nothing on the console, and keeps to a phone's width.
func TestTrialPrintInABrowser(t *testing.T) {
	ctx, said := browsertest.Open(t)
	dir, change := starter(t)
	tr := prove(t, dir)
	browsertest.Width(t, ctx, 320)
	quiet := func(where string) {
		t.Helper()
		browsertest.Evaluate[bool](t, ctx, `document.fonts.ready.then(() => true)`)
		if over := browsertest.Evaluate[int](t, ctx, `document.documentElement.scrollWidth - 320`); over > 0 {
			t.Errorf("%s: %d pixels run off a screen of 320", where, over)
		}
		for _, line := range said.Take() {
			t.Errorf("%s: the console says: %s", where, line)
		}
	}
	for _, page := range []string{"", starterPage, ".trial/", "nowhere/"} {
		browsertest.Go(t, ctx, tr.at+page)
		if page == "nowhere/" {
			said.Take() // that it is not there
		}
		quiet(page)
	}
	browsertest.Go(t, ctx, tr.at+starterPage)
	change(starterVersion, "Here stands what was built", "Here stands, in short, what was built")
	browsertest.Wait(t, ctx, `document.querySelector("main").textContent.includes("in short") && document.querySelector(".trial-stamp").innerText === "Trial print 2"`)
	change(starterVersion, "[1 h 34 min]", "[2 h 34 min]")
	browsertest.Wait(t, ctx, `document.querySelector(".trial-errors .trial-new") !== null && document.querySelector("#at-fault").textContent === "2 h 34 min"`)
	quiet("a page that set itself anew")
}

// A page that sets itself anew keeps its place: the heading that the maker reads stands where it stood, though there is more above
// it, and what was folded out stays so.
func TestTrialPrintKeepsItsPlace(t *testing.T) {
	ctx, _ := browsertest.Open(t)
	dir, change := starter(t)
	tr := prove(t, dir)
	browsertest.Width(t, ctx, 400)
	browsertest.Go(t, ctx, tr.at+starterPage)
	const at = `(() => { const all = [...document.querySelectorAll("main h2[id], main section[id]")]; return all[all.length - 1]; })()` // below the story
	const fold = `[...document.querySelectorAll("main details")].find((d) => !d.closest(".trial"))`
	browsertest.Evaluate[bool](t, ctx, `document.fonts.ready.then(() => true)`)
	browsertest.Evaluate[bool](t, ctx, `([...document.querySelectorAll("main details")].forEach((d) => { d.open = true; }), true)`)
	browsertest.Act(t, ctx, at+`.scrollIntoView({ behavior: "instant" });`)
	browsertest.Wait(t, ctx, `scrollY > 200`)
	folded := browsertest.Evaluate[bool](t, ctx, `(() => { const f = `+fold+`; if (!f) return false; f.open = true; return true; })()`)
	top := browsertest.Evaluate[float64](t, ctx, at+`.getBoundingClientRect().top`)
	y := browsertest.Evaluate[float64](t, ctx, `scrollY`)

	change(starterVersion, "Here stands what was built", strings.Repeat("It is told at length. ", 60)+"Here stands what was built")
	browsertest.Wait(t, ctx, `document.readyState === "complete" && document.querySelector(".trial-stamp").innerText === "Trial print 2"`)
	browsertest.Wait(t, ctx, `history.scrollRestoration === "auto"`)
	if got := browsertest.Evaluate[float64](t, ctx, at+`.getBoundingClientRect().top`); math.Abs(got-top) > 2 {
		t.Errorf("what stood at %.0f pixels stands at %.0f", top, got)
	}
	if got := browsertest.Evaluate[float64](t, ctx, `scrollY`); got < y+100 {
		t.Errorf("the page stood at %.0f pixels and stands at %.0f: nothing came above, and the test shows nothing", y, got)
	}
	if !folded || !browsertest.Evaluate[bool](t, ctx, fold+`.open`) {
		t.Errorf("a fold of the sheet (there is one: %v) is no longer as it was", folded)
	}
}

// A page that is open says when Voltwright has stopped, and shows the first print of the next start at the same port.
func TestTrialPrintStartedAgain(t *testing.T) {
	ctx, _ := browsertest.Open(t)
	dir, change := starter(t)
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	port := l.Addr().(*net.TCPAddr).Port
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	tr, stop := proveAt(t, dir, port)
	browsertest.Go(t, ctx, tr.at+starterPage)
	browsertest.Wait(t, ctx, `document.querySelector(".trial-live").textContent === ""`)
	stop()
	browsertest.Wait(t, ctx, `document.querySelector(".trial-live").textContent.includes("has stopped")`)
	change(starterVersion, "Here stands what was built", "Here stands, after the break, what was built")
	proveAt(t, dir, port)
	browsertest.Wait(t, ctx, `document.body?.textContent.includes("after the break") && document.querySelector(".trial-stamp").innerText === "Trial print 1"`)
}

// The band and the list of findings keep to the grammar of HTML, with errors and callouts on them.
func TestTrialPrintIsValidHTML(t *testing.T) {
	dir, change := starter(t)
	change(starterVersion, "charger: {chemistry: lfp, voltage: 14.4 V", "charger: {chemistry: lfp, voltage: 16.9 V")
	change(starterVersion, "[1 h 34 min]", "[2 h 34 min]")
	tr := prove(t, dir)
	pages := t.TempDir()
	for i, page := range []string{"", "trolley/", starterPage, ".trial/", "nowhere/"} {
		if err := os.WriteFile(filepath.Join(pages, fmt.Sprintf("%d.html", i)), []byte(tr.page(page)), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	browsertest.ValidHTML(t, pages)
}

func TestPortOfATrialPrint(t *testing.T) {
	dir, _ := starter(t)
	taken, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer taken.Close()
	port := taken.Addr().(*net.TCPAddr).Port
	err = serveProof(context.Background(), io.Discard, io.Discard, means{}, dir, port, true)
	if e, ok := err.(*statusError); !ok || e.status != Unreached || !strings.Contains(err.Error(), "name another with --port") {
		t.Errorf("a port that is taken: %v", err)
	}
	var told bytes.Buffer
	l, err := listen(&told, port, false)
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	if !strings.Contains(told.String(), "is taken") || !l.Addr().(*net.TCPAddr).IP.IsLoopback() {
		t.Errorf("in place of a port that is taken: %s, after %q", l.Addr(), told.String())
	}
	for _, port := range []int{-1, 65536} {
		if e, ok := serveProof(context.Background(), io.Discard, io.Discard, means{}, dir, port, true).(*statusError); !ok || e.status != Usage {
			t.Errorf("port %d is taken for one", port)
		}
	}
	if e, ok := serveProof(context.Background(), io.Discard, io.Discard, means{}, t.TempDir(), 0, true).(*statusError); !ok || e.status != Unreached {
		t.Error("a folder that is no journal is served")
	}
}
