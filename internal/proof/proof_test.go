package proof

import (
	"bufio"
	"context"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"voltwright/internal/finding"
)

// events reads what an open page is told.
func (d *server) events() chan string { return d.eventsOf("") }

// eventsOf reads them for the page that a query names.
func (d *server) eventsOf(query string) chan string {
	d.t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	d.t.Cleanup(cancel)
	request, err := http.NewRequestWithContext(ctx, "GET", d.at+own+"prints"+query, nil)
	if err != nil {
		d.t.Fatal(err)
	}
	response, err := http.DefaultClient.Do(request)
	if err != nil {
		d.t.Fatal(err)
	}
	if got := response.Header.Get("Content-Type"); got != "text/event-stream" {
		d.t.Fatalf("the events are %q", got)
	}
	said := make(chan string, 64)
	go func() {
		defer close(said)
		defer response.Body.Close()
		event := ""
		for lines := bufio.NewScanner(response.Body); lines.Scan(); {
			if lines.Text() != "" {
				event += lines.Text() + "\n"
				continue
			}
			said <- event
			event = ""
		}
	}()
	return said
}

// An open page is told of the next print, and which one it is.
func TestEvents(t *testing.T) {
	d := open(t, "/", Print{Site: newSite("a")})
	said := d.events()
	next := func() string {
		t.Helper()
		select {
		case e := <-said:
			return e
		case <-time.After(30 * time.Second):
			t.Fatal("nothing is told")
			return ""
		}
	}
	first := next()
	_, body := d.get("GET", "/", "")
	name := strings.TrimSuffix(strings.TrimPrefix(first, "event: print\ndata: "), "\n")
	if name == "" || !strings.Contains(body, `data-print="`+name+`"`) {
		t.Errorf("told %q, and the page is of another print", first)
	}
	d.lay("second", Print{Site: newSite("b")})
	d.change()
	for { // that it is being set may be over before it is told
		e := next()
		if e == "event: setting\ndata: \n" || e == first {
			continue
		}
		if want := "event: print\ndata: " + strings.TrimSuffix(name, "1") + "2\n"; e != want {
			t.Errorf("told %q, want %q", e, want)
		}
		return
	}
}

// A journal that changes between two looks is left alone until it does not.
func TestNothingIsSetFromAFileThatIsBeingWritten(t *testing.T) {
	looks := make(chan string)
	set := make(chan string, 16)
	now := ""
	d := &Server{Base: "/", Between: time.Millisecond, changed: make(chan struct{}),
		Looks: func() string { now = <-looks; return now },
		Set:   func(Early) Print { set <- now; return Print{} },
		Told:  func(Change) {}}
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan struct{})
	d.rhythm = usualRhythm
	go func() { defer close(ended); (&watching{Server: d, set: "a", last: "a"}).watch(ctx) }()
	for _, tt := range []struct{ look, sets string }{
		{"a", ""}, {"a", ""}, {"b", ""}, {"c", ""}, {"d", ""}, {"d", "d"}, {"d", ""}, {"e", ""}, {"d", ""}, {"e", ""}, {"e", "e"}, {"d", ""}, {"d", "d"},
	} {
		looks <- tt.look
		if tt.sets != "" {
			if got := <-set; got != tt.sets {
				t.Fatalf("a print of %q was set, want of %q", got, tt.sets)
			}
		}
	}
	cancel()
	go func() { // the look that may be under way
		select {
		case looks <- "d":
		case <-ended:
		}
	}()
	<-ended
	if len(set) != 0 {
		t.Errorf("%d prints were set for nothing", len(set))
	}
}

func TestNews(t *testing.T) {
	at := func(file, text string, line int64) Remark {
		source := finding.NewSource(file, []byte("a\nb\nc\nd\n"))
		return Remark{Finding: finding.Finding{Rule: "r", Text: text, Span: source.At(2*line, 1)}}
	}
	texts := func(found []finding.Finding) string {
		var out []string
		for _, f := range found {
			out = append(out, f.Span.File()+":"+f.Text)
		}
		return strings.Join(out, " ")
	}
	one, two, three := at("x", "one", 0), at("x", "two", 1), at("x", "three", 2)
	wrong := one
	wrong.Level = finding.Error
	out := newSite("a")
	for _, tt := range []struct {
		name         string
		said, before []Remark // by the last print that came out, and by the last of all
		out          Site     // nil where none came out yet
		now          []Remark
		site         Site // nil where this print does not come out
		came, gone   string
	}{
		{"nothing", nil, nil, out, nil, out, "", ""},
		{"the same on another line", []Remark{one}, []Remark{one}, out, []Remark{at("x", "one", 3)}, out, "", ""},
		{"one came", []Remark{one}, []Remark{one}, out, []Remark{one, two}, out, "x:two", ""},
		{"one is gone", []Remark{one, two}, []Remark{one, two}, out, []Remark{at("x", "two", 0)}, out, "", "x:one"},
		{"a second of one kind", []Remark{one}, []Remark{one}, out, []Remark{one, at("x", "one", 1)}, out, "x:one", ""},
		{"one of two", []Remark{one, at("x", "one", 1)}, []Remark{one, at("x", "one", 1)}, out, []Remark{one}, out, "", "x:one"},
		{"in another file", []Remark{one}, []Remark{one}, out, []Remark{at("y", "one", 0)}, out, "y:one", "x:one"},
		{"one that lets nothing be judged", []Remark{one, two}, []Remark{one, two}, out, []Remark{three}, nil, "x:three", ""},
		{"another in its place", []Remark{one, two}, []Remark{three}, out, []Remark{at("y", "four", 0)}, nil, "y:four", "x:three"},
		{"mended", []Remark{one, two}, []Remark{three}, out, []Remark{one, two}, out, "", "x:three"},
		{"mended, and more", []Remark{one, two}, []Remark{two, three}, out, []Remark{two, at("y", "four", 0)}, out, "y:four", "x:one x:three"},
		{"the first that comes out", nil, []Remark{three}, nil, []Remark{wrong, two}, out, "x:one", "x:three"},
		{"none came out yet", nil, []Remark{three}, nil, []Remark{two}, nil, "x:two", "x:three"},
	} {
		before := pulled{number: 1, Print: Print{Remarks: tt.before}, site: tt.out, said: tt.said}
		came, gone := news(before, Print{Remarks: tt.now, Site: tt.site})
		if texts(came) != tt.came || texts(gone) != tt.gone {
			t.Errorf("%s: came %q, want %q; gone %q, want %q", tt.name, texts(came), tt.came, texts(gone), tt.gone)
		}
		marked := 0
		for _, r := range tt.now {
			if r.Came {
				marked++
			}
		}
		if marked != len(came) {
			t.Errorf("%s: %d are marked as new, and %d are", tt.name, marked, len(came))
		}
	}
}

func TestFingerprint(t *testing.T) {
	dir, outside := t.TempDir(), t.TempDir()
	write := func(name, text string) {
		t.Helper()
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	must(os.MkdirAll(filepath.Join(dir, "cart/.hidden"), 0o755))
	note, log := filepath.Join(dir, "cart/version.md"), filepath.Join(dir, "cart/log.csv")
	write(note, "one")
	write(filepath.Join(dir, "cart/real.csv"), "1,2")
	must(os.Symlink("real.csv", log))
	earlier := time.Date(2026, 5, 9, 10, 0, 0, 0, time.UTC)
	must(os.Chtimes(note, earlier, earlier))
	must(os.Chtimes(filepath.Join(dir, "cart/real.csv"), earlier, earlier))
	look := func() string { return Fingerprint(os.DirFS(dir)) }
	before := look()
	if look() != before {
		t.Error("two looks at one state differ")
	}
	for _, tt := range []struct {
		what    string
		do      func()
		changes bool
	}{
		{"a hidden file", func() { write(filepath.Join(dir, ".swap"), "x"); write(filepath.Join(dir, "cart/.hidden/y"), "y") }, false},
		{"a file elsewhere", func() { write(filepath.Join(outside, "x"), "x") }, false},
		{"a longer note", func() { write(note, "three"); must(os.Chtimes(note, earlier, earlier)) }, true},
		{"a note of the same length", func() { write(note, "seven") }, true},
		{"who may read a note", func() { must(os.Chmod(note, 0o600)) }, true},
		{"a new file", func() { write(filepath.Join(dir, "new.md"), "") }, true},
		{"a file taken away", func() { must(os.Remove(filepath.Join(dir, "new.md"))) }, true},
		{"a file with another name", func() { must(os.Rename(note, note+"x")) }, true},
		{"an empty folder", func() { must(os.Mkdir(filepath.Join(dir, "barrow"), 0o755)) }, true},
		{"what a link leads to", func() { write(filepath.Join(dir, "cart/real.csv"), "1,2,3") }, true},
		{"the folder taken away", func() { must(os.RemoveAll(dir)) }, true},
	} {
		tt.do()
		if now := look(); (now != before) != tt.changes {
			t.Errorf("%s: the fingerprint changes: %v, want %v", tt.what, now != before, tt.changes)
		} else {
			before = now
		}
	}
	if look() != before {
		t.Error("two looks at a folder that is gone differ")
	}
}

// The band gets into whatever a template of the journal's own makes.
func TestBanded(t *testing.T) {
	for _, tt := range []struct{ name, page, want string }{
		{"a page", "<!doctype html><html><head><title>T</title></head><body class=\"x\"><p>A</p></body></html>",
			"<!doctype html><html><head><title>T</title>HEAD</head><body class=\"x\">BAND<p>A</p></body></html>"},
		{"words that look like tags", "<head><!-- </head> <body> --><script>'<body>'</script></head><BODY>A",
			"<head><!-- </head> <body> --><script>'<body>'</script>HEAD</head><BODY>BANDA"},
		{"no end of the head", "<head><title>T</title><body>A", "<head><title>T</title>HEAD<body>BANDA"},
		{"no body", "<head></head><p>A", "<head>HEAD</head><p>ABAND"},
		{"text alone", "A & B", "A & BHEADBAND"},
		{"two of them", "<head></head><body></head><body>", "<head>HEAD</head><body>BAND</head><body>"},
		{"nothing", "", "HEADBAND"},
	} {
		if got := string(banded([]byte(tt.page), []byte("HEAD"), []byte("BAND"))); got != tt.want {
			t.Errorf("%s:\n%s\nwant\n%s", tt.name, got, tt.want)
		}
	}
}
