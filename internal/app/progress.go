package app

import (
	"fmt"
	"io"
	"os"
	"sync"
	"time"
	"unicode/utf8"

	"golang.org/x/term"

	"voltwright/internal/progress"
)

// A line of progress is drawn for the first time when a command has worked for a moment, so that quick ones say nothing, and
// then anew after each beat.
var (
	patient = 300 * time.Millisecond
	beat    = 100 * time.Millisecond
)

// progressLine is the last line of a terminal, on which a command says what it is at and how far it is. It is taken away
// before anything else is printed and at the end. A nil line is drawn nowhere.
type progressLine struct {
	to    io.Writer
	width func() int // columns of the terminal

	patient, beat time.Duration

	mu          sync.Mutex
	step        progress.Step
	done, total int64
	drawn       int    // columns that are drawn
	inLine      bool   // something else was printed that did not end its line
	stop        func() // nil while nothing is drawn
}

// newProgressLine is the line of a terminal; nil where a command's output goes elsewhere, or to a terminal that cannot go back
// in a line.
func newProgressLine(to io.Writer) *progressLine {
	f, ok := to.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) || os.Getenv("TERM") == "dumb" {
		return nil
	}
	return &progressLine{to: to, patient: patient, beat: beat, width: func() int {
		width, _, err := term.GetSize(int(f.Fd()))
		if err != nil {
			return 0
		}
		return width
	}}
}

// report hears how far the work is.
func (l *progressLine) report() progress.Report {
	if l == nil {
		return nil
	}
	return func(step progress.Step, done, total int64) {
		l.mu.Lock()
		defer l.mu.Unlock()
		if step == l.step && done > 0 && done < l.done && l.stop != nil { // another was faster to tell
			return
		}
		l.step, l.done, l.total = step, done, total
		if l.stop == nil {
			l.begin()
		}
	}
}

// begin draws from now on. The lock is held.
func (l *progressLine) begin() {
	tick, ended := time.NewTicker(l.beat), make(chan struct{})
	l.stop = sync.OnceFunc(func() { close(ended) })
	go func() {
		defer tick.Stop()
		var first time.Time
		for {
			select {
			case <-ended:
				return
			case now := <-tick.C:
				if first.IsZero() {
					first = now.Add(-l.beat)
				}
				if worked := now.Sub(first); worked >= l.patient {
					l.draw(ended, worked)
				}
			}
		}
	}()
}

func (l *progressLine) draw(ended chan struct{}, worked time.Duration) {
	l.mu.Lock()
	defer l.mu.Unlock()
	select {
	case <-ended: // while the lock was waited for
		return
	default:
	}
	if l.inLine {
		return
	}
	text := []rune(fmt.Sprintf("%s (%d s)", stepWords(l.step, l.done, l.total), int(worked.Seconds())))
	if width := l.width(); width > 0 {
		text = text[:min(len(text), width-1)] // the last column stays free, or some go on to the next line
	}
	l.put(string(text))
}

// put draws a text over what is drawn.
func (l *progressLine) put(text string) {
	long := utf8.RuneCountInString(text)
	_, _ = fmt.Fprintf(l.to, "\r%s%*s", text, max(0, l.drawn-long), "") // what cannot be drawn is missed by nobody
	if l.drawn > long {
		_, _ = fmt.Fprintf(l.to, "\r%s", text)
	}
	l.drawn = long
}

// clear takes the line away, since something else is printed, which ends in the middle of a line or does not.
func (l *progressLine) clear(inLine bool) {
	if l == nil {
		return
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	l.inLine = inLine
	if l.drawn > 0 {
		l.put("")
	}
}

// end takes the line away until there is more work.
func (l *progressLine) end() {
	if l == nil {
		return
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.stop != nil {
		l.stop()
		l.stop = nil
	}
	if l.drawn > 0 {
		l.put("")
	}
}

// stepWords says what a command is at. Letters are those that every terminal has, and a column wide.
func stepWords(step progress.Step, done, total int64) string {
	const mega = 1e6
	counted := func(what, of string) string { return fmt.Sprintf("%s: %d of %d%s", what, done, total, of) }
	switch step {
	case progress.Reading:
		return "Reading the notes"
	case progress.Measuring, progress.Checking:
		what := "Measuring"
		if step == progress.Checking {
			what = "Checking"
		}
		if total == 0 {
			return fmt.Sprintf("%s: %.0f MB", what, float64(done)/mega)
		}
		return fmt.Sprintf("%s: %.1f of %.1f MB, %d %%", what, float64(done)/mega, float64(total)/mega, 100*done/total)
	case progress.Answering:
		return counted("Computing run times", " versions")
	case progress.Trying:
		return counted("Trying which runs teach", " choices")
	case progress.Judging:
		return "Inspecting"
	case progress.Cleaning:
		return counted("Making logs ready", "")
	case progress.LayingOut:
		return counted("Laying out", " pages")
	default:
		return counted("Writing", " files")
	}
}
