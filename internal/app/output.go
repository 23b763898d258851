package app

import (
	"errors"
	"fmt"
	"io"
	"os"
	"syscall"
	"unicode/utf8"

	"golang.org/x/term"
)

// output is where a command prints. It remembers that something could not be printed, which not every caller looks at; a reader
// that has had enough, such as a pager that was left, is no failure. Characters that a terminal obeys instead of showing them,
// which a name or a word in a stranger's journal may hold, are written as escapes, which JSON reads as the same characters.
type output struct {
	to   io.Writer
	err  error
	rest []byte // the beginning of a character whose end is still to come
	line *progressLine
}

// toTerminal tells whether what a command prints is read on a terminal.
func toTerminal(w io.Writer) bool {
	if o, ok := w.(*output); ok {
		w = o.to
	}
	f, ok := w.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}

func (o *output) Write(p []byte) (int, error) {
	text := p
	if len(o.rest) > 0 {
		text = append(o.rest, p...)
	}
	text, o.rest = wholeRunes(text)
	if err := o.print(shown(text)); err != nil {
		return 0, err
	}
	return len(p), nil
}

// end prints what never became a character.
func (o *output) end() {
	_ = o.print(shown(o.rest)) // the error is kept
	o.rest = nil
}

func (o *output) print(p []byte) error {
	if len(p) == 0 {
		return nil
	}
	o.line.clear(p[len(p)-1] != '\n')
	_, err := o.to.Write(p)
	if errors.Is(err, syscall.EPIPE) {
		return nil
	}
	if o.err == nil {
		o.err = err
	}
	return err
}

// wholeRunes parts a text before a character that is not yet complete.
func wholeRunes(text []byte) (whole, rest []byte) {
	for back := 1; back <= min(utf8.UTFMax-1, len(text)); back++ {
		tail := text[len(text)-back:]
		if utf8.RuneStart(tail[0]) {
			if !utf8.FullRune(tail) {
				return text[:len(text)-back], append([]byte(nil), tail...)
			}
			break
		}
	}
	return text, nil
}

// shown writes a text so that a terminal shows all of it.
func shown(text []byte) []byte {
	clean := true
	for i := 0; i < len(text) && clean; {
		r, size := utf8.DecodeRune(text[i:])
		clean, i = !obeyed(r) && (r != utf8.RuneError || size > 1), i+size
	}
	if clean {
		return text
	}
	out := make([]byte, 0, len(text)+16)
	for i := 0; i < len(text); {
		r, size := utf8.DecodeRune(text[i:])
		switch {
		case r == utf8.RuneError && size == 1:
			out = fmt.Appendf(out, `\x%02x`, text[i])
		case obeyed(r):
			out = fmt.Appendf(out, `\u%04x`, r)
		default:
			out = append(out, text[i:i+size]...)
		}
		i += size
	}
	return out
}

// obeyed are characters that a terminal acts upon instead of showing them (ECMA-48, 8.3), that turn round what stands beside them
// (Unicode Technical Report 36, 3.1), or that nobody sees in a word.
func obeyed(r rune) bool {
	switch {
	case r == '\n', r == '\t':
		return false
	case r < ' ', r >= 0x7f && r < 0xa0, r == 0x200b, r >= 0x202a && r <= 0x202e, r >= 0x2060 && r <= 0x2069, r == 0xfeff:
		return true
	}
	return false
}
