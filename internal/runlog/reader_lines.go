package runlog

import (
	"bytes"
	"io"
)

const (
	// sniffSize is how much of a log is looked at before the first row is given out.
	sniffSize = 256 << 10
	// maxLine is the longest line that is read; a longer one is reported and left out.
	maxLine = 64 << 10
)

// lineReader gives the lines of a stream from one buffer that never grows.
type lineReader struct {
	r      io.Reader // nil once it is exhausted
	err    error
	buf    []byte
	start  int
	offset int64 // of buf[0] in the stream
	number int   // of the line given out last
	end    byte  // '\n', or '\r' for a file that knows no other line end
}

// newLineReader fills the buffer once, for the sniff.
func newLineReader(r io.Reader) *lineReader {
	l := &lineReader{r: r, buf: make([]byte, 0, sniffSize), end: '\n'}
	l.fill()
	return l
}

// whole says whether the stream ends inside the buffer.
func (l *lineReader) whole() bool { return l.r == nil }

// fill moves what is unread to the front and reads until the buffer is full.
func (l *lineReader) fill() {
	n := copy(l.buf[:cap(l.buf)], l.buf[l.start:])
	l.offset += int64(l.start)
	l.start, l.buf = 0, l.buf[:n]
	for l.r != nil && len(l.buf) < cap(l.buf) {
		n, err := l.r.Read(l.buf[len(l.buf):cap(l.buf)])
		l.buf = l.buf[:len(l.buf)+n]
		if err != nil {
			l.r = nil
			if err != io.EOF {
				l.err = err
			}
		}
	}
}

// next gives the next line without its end and its offset in the stream. A
// line longer than maxLine is given cut off, with long set. The line is valid
// until the next call.
func (l *lineReader) next() (line []byte, offset int64, long, ok bool) {
	n := bytes.IndexByte(l.buf[l.start:], l.end)
	if n < 0 && l.r != nil {
		l.fill()
		n = bytes.IndexByte(l.buf[l.start:], l.end)
	}
	rest := l.buf[l.start:]
	if n < 0 && len(rest) == 0 {
		return nil, 0, false, false
	}
	l.number++
	offset = l.offset + int64(l.start)
	switch {
	case n >= 0 && n <= maxLine:
		line = rest[:n]
		l.start += n + 1
	case n < 0 && len(rest) <= maxLine && l.r == nil:
		line = rest
		l.start = len(l.buf)
	default:
		line, long = append([]byte(nil), rest[:64]...), true
		l.skipLine()
	}
	if len(line) > 0 && line[len(line)-1] == '\r' {
		line = line[:len(line)-1]
	}
	return line, offset, long, true
}

// more lengthens the line that next gave last by the line that follows it, for
// a quoted field that holds a line end. It reports false at the end of the
// stream or when the line would pass maxLine; then nothing has changed.
func (l *lineReader) more(offset int64) (line []byte, ok bool) {
	from := int(offset - l.offset)
	if l.r != nil && (from > 0 || len(l.buf) < cap(l.buf)) && bytes.IndexByte(l.buf[l.start:], l.end) < 0 {
		start := l.start - from
		l.start = from
		l.fill()
		l.start = start
		from = 0
	}
	if l.start >= len(l.buf) {
		return nil, false
	}
	stop := len(l.buf)
	next := stop
	if n := bytes.IndexByte(l.buf[l.start:], l.end); n >= 0 {
		stop = l.start + n
		next = stop + 1
	} else if l.r != nil {
		return nil, false
	}
	if stop-from > maxLine {
		return nil, false
	}
	l.start = next
	l.number++
	return bytes.TrimSuffix(l.buf[from:stop], []byte("\r")), true
}

// skipLine drops everything up to the end of the current line.
func (l *lineReader) skipLine() {
	for {
		if n := bytes.IndexByte(l.buf[l.start:], l.end); n >= 0 {
			l.start += n + 1
			return
		}
		l.start = len(l.buf)
		if l.r == nil {
			return
		}
		l.fill()
	}
}

// backTo undoes every more since the line at offset, whose length was first
// and whose number is given, and returns that line. What follows it is read anew.
func (l *lineReader) backTo(offset int64, first, number int) []byte {
	from := int(offset - l.offset)
	line := l.buf[from : from+first]
	l.start, l.number = min(from+first, len(l.buf)), number
	if n := bytes.IndexByte(l.buf[l.start:], l.end); n >= 0 {
		l.start += n + 1
	} else {
		l.start = len(l.buf)
	}
	return line
}
