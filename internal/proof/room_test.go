package proof

import (
	"bufio"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"runtime"
	"strconv"
	"strings"
	"testing"
	"time"
)

// heap is what stands in memory now, in bytes.
func heap() uint64 {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return m.HeapInuse + m.StackInuse
}

// impatient gives slow readers a moment, so that a test need not wait for a minute.
func impatient(d *server) {
	d.patience = patience{head: 400 * time.Millisecond, piece: 400 * time.Millisecond, turn: 10 * time.Second, idle: 400 * time.Millisecond}
}

// big is a site of one page and one file that are as large as they come.
type big struct{ Site }

const bigSize = 4 << 20

var bigPage = "<html><head></head><body>" + strings.Repeat("<p>x</p>\n", bigSize/9) + "</body></html>"

func (b big) Open(name string) (io.ReadCloser, error) {
	switch name {
	case "big/index.html":
		return io.NopCloser(strings.NewReader(bigPage)), nil
	case "big/log.csv":
		return io.NopCloser(io.LimitReader(rows{}, 80*bigSize)), nil
	}
	return b.Site.Open(name)
}

// rows is a log that has no end.
type rows struct{}

func (rows) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = "0,24.1\n"[i%7]
	}
	return len(p), nil
}

// Readers that ask for much and take nothing of it hold neither the server nor its memory: each has a moment, and then its
// place is the next one's.
func TestSlowReaders(t *testing.T) {
	d := openWith(t, "/", Print{Site: big{newSite("a")}}, impatient)
	before := heap()
	for i := range 3 * maxPages {
		c, err := net.Dial("tcp", strings.TrimPrefix(d.at, "http://"))
		if err != nil {
			t.Fatal(err)
		}
		defer c.Close()
		name := "big/"
		if i%3 == 0 {
			name = "big/log.csv"
		}
		fmt.Fprintf(c, "GET /%s HTTP/1.1\r\nHost: %s\r\n\r\n", name, strings.TrimPrefix(d.at, "http://"))
	}
	time.Sleep(200 * time.Millisecond)
	// A page that is made takes some six times its length.
	most := int64((maxPages + 2 + 6*maxMaking) * bigSize)
	grown := int64(heap()) - int64(before)
	for n := 0; n < 20 && grown > most; n++ { // what was just made may not have been given back yet
		time.Sleep(50 * time.Millisecond)
		grown = int64(heap()) - int64(before)
	}
	if grown > most {
		t.Errorf("%d MiB for %d readers, want at most %d for %d", grown>>20, 3*maxPages, most>>20, maxPages)
	}
	if r, body := d.get("GET", "/cart/", ""); r.StatusCode != 200 || !strings.Contains(body, "Cart a") {
		t.Errorf("another reader got %d", r.StatusCode)
	}
	settled(t, "after the slow readers", before+8<<20)
}

// settled waits until memory is given back.
func settled(t *testing.T, when string, most uint64) {
	t.Helper()
	for range 100 {
		if heap() <= most {
			return
		}
		time.Sleep(100 * time.Millisecond)
	}
	t.Errorf("%s: %d MiB are held, want at most %d", when, heap()>>20, most>>20)
}

// connections is how many come at once: a sample, a smaller one where tests are to be short, or as many as VOLTWRIGHT_CONNECTIONS
// says.
func connections(t *testing.T) int {
	n := 3000
	if testing.Short() {
		n = 4 * maxConnections
	}
	if asked := os.Getenv("VOLTWRIGHT_CONNECTIONS"); asked != "" {
		var err error
		if n, err = strconv.Atoi(asked); err != nil {
			t.Fatal(err)
		}
	}
	return n
}

// Connections that say nothing, or say it a letter at a time, keep nobody out for long: each that is let in has a moment, and the
// others wait in the system's queue, and take no memory of the server. All are held open by this side.
func TestManyConnections(t *testing.T) {
	d := openWith(t, "/", Print{Site: newSite("a")}, impatient)
	at := strings.TrimPrefix(d.at, "http://")
	before := heap()
	want, begun, most := connections(t), time.Now(), 0
	for open := 0; open < want; {
		c, err := net.DialTimeout("tcp", at, 5*time.Second)
		if err != nil { // the system's queue is full, and the server empties it
			if time.Since(begun) > 3*time.Minute {
				t.Fatalf("after %d connections: %v", open, err)
			}
			continue
		}
		defer c.Close()
		if open++; open%2 == 0 {
			_, _ = io.WriteString(c, "GET / HTTP/1.1\r\nHo") // it may have been left already
		}
		if open%500 == 0 {
			most = max(most, runtime.NumGoroutine())
		}
	}
	// What this side of the connections takes is among it.
	grown := int64(heap() - before)
	if grown > int64(8<<20+want*(8<<10)) {
		t.Errorf("%d MiB for %d connections", grown>>20, want)
	}
	if most > 3*maxConnections {
		t.Errorf("%d goroutines for %d connections", most, want)
	}
	waited := time.Now()
	if r, body := d.get("GET", "/cart/", ""); r.StatusCode != 200 || !strings.Contains(body, "Cart a") {
		t.Errorf("another reader got %d", r.StatusCode)
	}
	t.Logf("%d connections took %d KiB, both sides together, and %d goroutines at the most; another reader waited %v", want, grown>>10, most, time.Since(waited).Round(time.Millisecond))
}

// Whoever listens for prints takes a place; beyond them others are asked to come again, and pages are served all the same.
func TestManyListeners(t *testing.T) {
	d := openWith(t, "/", Print{Site: newSite("a")}, impatient)
	told, busy := 0, 0
	for range maxListeners + 10 {
		c, err := net.Dial("tcp", strings.TrimPrefix(d.at, "http://"))
		if err != nil {
			t.Fatal(err)
		}
		defer c.Close()
		fmt.Fprintf(c, "GET /.trial/prints HTTP/1.1\r\nHost: %s\r\n\r\n", strings.TrimPrefix(d.at, "http://"))
		r, err := http.ReadResponse(bufio.NewReader(c), nil)
		if err != nil {
			t.Fatal(err)
		}
		switch r.StatusCode {
		case 200:
			told++
		case 503:
			busy++
		}
	}
	if told != maxListeners || busy != 10 {
		t.Errorf("%d are told, %d are asked to come again, want %d and 10", told, busy, maxListeners)
	}
	if r, _ := d.get("GET", "/", ""); r.StatusCode != 200 {
		t.Errorf("a page is answered with %d", r.StatusCode)
	}
}
