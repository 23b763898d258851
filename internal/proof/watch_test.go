package proof

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"
)

// heard tells whether a listener has news within a while. That there are none can only be waited for.
func heard(l Listener, within time.Duration) string {
	select {
	case _, open := <-l.News():
		if !open {
			return "the end"
		}
		for { // the rest of the same change
			select {
			case _, open := <-l.News():
				if !open {
					return "the end"
				}
			case <-time.After(50 * time.Millisecond):
				return "news"
			}
		}
	case <-time.After(within):
		return "nothing"
	}
}

// Whatever changes the fingerprint of a folder is told of, in folders that came later as well; hidden names are not.
func TestListen(t *testing.T) {
	outside, real := t.TempDir(), filepath.Join(t.TempDir(), "real")
	write := func(name, text string) {
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	must := func(err error) {
		if err != nil {
			t.Fatal(err)
		}
	}
	must(os.MkdirAll(filepath.Join(real, "cart/photos"), 0o755))
	dir := filepath.Join(outside, "link")
	must(os.Symlink(real, dir))
	write(filepath.Join(dir, "cart/version.md"), "one")
	must(os.MkdirAll(filepath.Join(outside, "tree/deep/deeper"), 0o755))
	l, err := Listen(dir)
	if err != nil {
		t.Fatal(err)
	}
	if got := heard(l, 10*time.Second); got != "news" {
		t.Fatalf("at first %s is told: what came meanwhile would not be looked for", got)
	}
	in := func(name string) string { return filepath.Join(dir, name) }
	for _, tt := range []struct {
		what string
		do   func()
		want string
	}{
		{"a file is written", func() { write(in("cart/version.md"), "two") }, "news"},
		{"a file is made", func() { write(in("cart/photos/a.txt"), "") }, "news"},
		{"a file is taken away", func() { must(os.Remove(in("cart/photos/a.txt"))) }, "news"},
		{"a file takes another's place", func() { write(in("new"), "x"); must(os.Rename(in("new"), in("cart/version.md"))) }, "news"},
		{"its rights", func() { must(os.Chmod(in("cart/version.md"), 0o600)) }, "news"},
		{"its time", func() { must(os.Chtimes(in("cart/version.md"), time.Unix(1e9, 0), time.Unix(1e9, 0))) }, "news"},
		{"a hidden file", func() { write(in(".swap"), "x"); write(in("cart/.swap"), "x") }, "nothing"},
		{"a hidden folder", func() { must(os.Mkdir(in(".history"), 0o755)) }, "nothing"},
		{"in a hidden folder", func() { write(in(".history/x"), "x") }, "nothing"},
		{"a folder elsewhere", func() { must(os.Mkdir(filepath.Join(outside, "other"), 0o755)) }, "nothing"},
		{"a new folder", func() { must(os.MkdirAll(in("barrow/1-first/photos"), 0o755)) }, "news"},
		{"in the new folder", func() { write(in("barrow/1-first/version.md"), "x") }, "news"},
		{"in a folder of it", func() { write(in("barrow/1-first/photos/x"), "x") }, "news"},
		{"a tree that is moved in", func() { must(os.Rename(filepath.Join(outside, "tree"), in("tree"))) }, "news"},
		{"deep in it", func() { write(in("tree/deep/deeper/x"), "x") }, "news"},
		{"a folder gets another name", func() { must(os.Rename(in("tree"), in("forest"))) }, "news"},
		{"deep in it then", func() { write(in("forest/deep/deeper/x"), "y") }, "news"},
		{"a folder is taken away and made again", func() { must(os.RemoveAll(in("barrow"))); must(os.Mkdir(in("barrow"), 0o755)) }, "news"},
		{"in it then", func() { write(in("barrow/x"), "y") }, "news"},
		{"the folder itself goes", func() { must(os.Rename(real, real+"-away")) }, "the end"},
	} {
		before := ""
		if tt.want == "news" {
			before = Fingerprint(os.DirFS(dir))
		}
		if tt.want == "nothing" {
			heard(l, 500*time.Millisecond) // the rest of what was
		}
		tt.do()
		within := 10 * time.Second
		if tt.want == "nothing" {
			within = 200 * time.Millisecond
		}
		if got := heard(l, within); got != tt.want {
			t.Errorf("%s: %s is told, want %s", tt.what, got, tt.want)
		}
		if tt.want == "news" && Fingerprint(os.DirFS(dir)) == before {
			t.Errorf("%s: the fingerprint is the same", tt.what)
		}
	}
	if err := errors.Join(l.Close(), l.Close()); err != nil {
		t.Error(err)
	}
	if _, err := Listen(filepath.Join(outside, "nowhere")); err == nil {
		t.Error("a folder that is not there is listened to")
	}
}

func TestListenEnds(t *testing.T) {
	l, err := Listen(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	heard(l, 10*time.Second)
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	if got := heard(l, 10*time.Second); got != "the end" {
		t.Errorf("after it was closed %s is told", got)
	}
}

// fakeEar is a listener that a test speaks to.
type fakeEar struct {
	news chan struct{}
	once sync.Once
}

func (e *fakeEar) News() <-chan struct{} { return e.news }
func (e *fakeEar) Close() error          { return nil }
func (e *fakeEar) say() {
	select {
	case e.news <- struct{}{}:
	default:
	}
}
func (e *fakeEar) end() { e.once.Do(func() { close(e.news) }) }

// listening is a server whose journal and whose system a test has in its hand.
type listening struct {
	t     *testing.T
	mu    sync.Mutex
	state string
	looks int
	asked int        // how often the system was asked to tell
	ears  []*fakeEar // those that it will give; none: it does not tell
	set   chan string
}

func listenTo(t *testing.T, between time.Duration, r rhythm, ears ...*fakeEar) *listening {
	l := &listening{t: t, state: "a", ears: ears, set: make(chan string, 64)}
	d := &Server{Base: "/", Between: between, rhythm: r, changed: make(chan struct{}), Told: func(Change) {},
		Looks: func() string { l.mu.Lock(); defer l.mu.Unlock(); l.looks++; return l.state },
		Set:   func(Early) Print { l.mu.Lock(); defer l.mu.Unlock(); l.set <- l.state; return Print{} },
		Listen: func() (Listener, error) {
			l.mu.Lock()
			defer l.mu.Unlock()
			if l.asked++; len(l.ears) == 0 {
				return nil, errors.New("no watches left")
			}
			ear := l.ears[0]
			l.ears = l.ears[1:]
			return ear, nil
		}}
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan struct{})
	w := d.attend()
	go func() { defer close(ended); w.watch(ctx) }()
	t.Cleanup(func() { cancel(); <-ended })
	return l
}

func (l *listening) become(state string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.state = state
}

func (l *listening) sets(want string, within time.Duration) {
	l.t.Helper()
	select {
	case got := <-l.set:
		if got != want {
			l.t.Fatalf("a print of %q is set, want of %q", got, want)
		}
	case <-time.After(within):
		if want != "" {
			l.t.Fatalf("no print of %q is set", want)
		}
	}
}

func (l *listening) counts() (looks, asked int) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.looks, l.asked
}

func newEar() *fakeEar { return &fakeEar{news: make(chan struct{}, 1)} }

const never = time.Hour // between two looks

// What is told of is set without a second look; a burst is one change, and what is told of nothing sets nothing.
func TestWhatIsToldIsSet(t *testing.T) {
	ear := newEar()
	l := listenTo(t, never, rhythm{stillness: 500 * time.Millisecond, breather: never, hasty: 9}, ear)
	ear.say()
	l.sets("", time.Second)
	l.become("b")
	ear.say()
	l.sets("b", 10*time.Second)
	for i := range 30 { // longer than it has to be left alone, never left alone
		l.become(fmt.Sprint("half ", i))
		ear.say()
		time.Sleep(20 * time.Millisecond)
	}
	l.become("c")
	ear.say()
	l.sets("c", 10*time.Second)
	l.sets("", time.Second)
}

// Prints do not chase each other while something goes on changing: then it has to be left alone for as long as a look takes.
// After a while without prints the next change is set at once again.
func TestWhatGoesOnChangingWaits(t *testing.T) {
	for _, tt := range []struct {
		name  string
		r     rhythm
		third string
	}{
		{"at once", rhythm{time.Millisecond, never, 2}, ""},
		{"after a rest", rhythm{time.Millisecond, 200 * time.Millisecond, 2}, "2"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			ear := newEar()
			l := listenTo(t, never, tt.r, ear)
			for i, want := range []string{"0", "1", tt.third} {
				if i == 2 {
					time.Sleep(500 * time.Millisecond)
				}
				l.become(fmt.Sprint(i))
				ear.say()
				within := 10 * time.Second
				if want == "" {
					within = 500 * time.Millisecond
				}
				l.sets(want, within)
			}
		})
	}
}

// A change that nobody told of is found by looking, and looking is then as often as without a listener, which is asked no more.
func TestWhatIsNotToldIsFound(t *testing.T) {
	const between = 50 * time.Millisecond
	ear := newEar()
	l := listenTo(t, between, usualRhythm, ear)
	l.become("b")
	l.sets("b", 10*time.Second)
	before, _ := l.counts()
	time.Sleep(20 * between)
	after, asked := l.counts()
	if n := after - before; n < 20/seldom+2 {
		t.Errorf("%d looks in the time of 20", n)
	}
	l.become("c")
	ear.say() // to nobody
	l.sets("c", 10*time.Second)
	if asked != 1 {
		t.Errorf("the system is asked %d times", asked)
	}
}

// Where the system does not tell, or tells no more, the journal is looked at; it is asked again with each print.
func TestWithoutAListener(t *testing.T) {
	const between = 5 * time.Millisecond
	for _, first := range []*fakeEar{nil, newEar()} {
		var ears []*fakeEar
		if first != nil {
			ears = append(ears, first)
		}
		l := listenTo(t, between, usualRhythm, ears...)
		if first != nil {
			first.end()
		}
		l.become("b")
		l.sets("b", 10*time.Second)
		second := newEar()
		l.mu.Lock()
		l.ears = []*fakeEar{second}
		l.mu.Unlock()
		l.become("c")
		l.sets("c", 10*time.Second)
		if _, asked := l.counts(); asked != 3 {
			t.Errorf("the system is asked %d times, want 3", asked)
		}
	}
}

// While the system tells, the journal is looked at more seldom.
func TestLooksAreSeldom(t *testing.T) {
	const between = 20 * time.Millisecond
	l := listenTo(t, between, usualRhythm, newEar())
	time.Sleep(20 * between)
	if looks, _ := l.counts(); looks > 20/seldom+2 {
		t.Errorf("%d looks in the time of 20", looks)
	}
}

// A server over real files shows each of a run of changes, whether the system tells of them or not.
func TestServeOfRealFiles(t *testing.T) {
	for name, listen := range map[string]bool{"told": true, "looked for": false} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			note := filepath.Join(dir, "note.md")
			text := func() string { b, _ := os.ReadFile(note); return string(b) }
			d := openWith(t, "/", Print{Site: newSite("a")}, func(d *server) {
				d.Looks = func() string { return Fingerprint(os.DirFS(dir)) }
				d.Set = func(Early) Print { return Print{Site: newSite(text())} }
				d.Between, d.rhythm = 5*time.Millisecond, rhythm{5 * time.Millisecond, time.Second, 99}
				if listen {
					d.Between = never
					d.Listen = func() (Listener, error) { return Listen(dir) }
				}
			})
			for i := range 4 {
				word := strings.Repeat("x", i+1)
				if err := os.WriteFile(note, []byte(word), 0o644); err != nil {
					t.Fatal(err)
				}
				for d.change(); ; d.change() { // that it was empty may have been seen
					if _, body := d.get("GET", "/", ""); strings.Contains(body, "<h1>Front "+word+"</h1>") {
						break
					}
				}
			}
		})
	}
}
