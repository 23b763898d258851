package runlog

import (
	"bytes"
	"math"
	"slices"
)

// fill puts the next rows into the room that a block has, and says whether there are any more. Rows that are written plainly, one after
// the other in time, are read straight into it; any other goes the way of Next, and is given to add, which puts it there.
func (s *Scanner) fill(b *block, add func(Sample)) bool {
	plain := s.plainly()
	for !b.full() {
		if sample, ok := s.spread.give(); ok {
			add(sample)
			continue
		}
		if s.ended {
			return false
		}
		if plain && s.run(b) {
			if b.n+len(s.spread.groups) >= blockRows {
				break // no room beside what it has lent
			}
			continue
		}
		if s.spread.unit == 0 {
			sample, ok := s.next()
			if !ok {
				s.ended = true
				return false
			}
			add(sample)
			continue
		}
		s.advance()
	}
	return true
}

// advance takes the next row to those that wait for their time.
func (s *Scanner) advance() {
	sample, ok := s.next()
	if !ok {
		s.ended = true
		s.spread.finish()
		return
	}
	s.spread.take(&sample, s.placed.part, s.clock.held > 0)
}

// plainly says whether the log is one of which rows can be read straight into a block: a time of one field, and numbers.
func (s *Scanner) plainly() bool {
	if !s.usable || s.separator == ' ' || s.joined || s.signBy != signWhole || s.times[0].fields != 1 || s.times[1].fields > 0 || s.times[0].form == timeStep {
		return false
	}
	return !slices.ContainsFunc(s.columns, func(c target) bool {
		return c.role != roleValue && c.role != roleNumericTime && c.role != roleWrittenTime
	})
}

// run reads rows into the block for as long as they are plain, and says whether there were any.
func (s *Scanner) run(b *block) bool {
	x := &s.times[0]
	if s.skip > 0 || len(s.waiting) > 0 || s.clock.rows == 0 || s.clock.held > 0 || x.either || x.shift != 0 || !s.spread.lend(b) {
		return false
	}
	begun := b.n
	s.planPlain(b)
	for more := true; more && !b.full(); {
		s.shapedRows(b)
		more = !b.full() && s.plainRowInto(b)
	}
	for _, x := range s.shapes {
		s.tellShape(x)
	}
	read := b.n - begun
	for k := range s.plain {
		if c := &s.plain[k]; c.role == roleValue {
			b.written[c.channel] = max(b.written[c.channel], c.written)
		}
	}
	clear(b.loose[begun:b.n])
	clear(b.restart[begun:b.n])
	copy(b.values[Time][begun:b.n], b.time[begun:b.n])
	s.accounts.Lines += read
	s.accounts.Used += read
	s.clock.rows += read
	x.rows += read
	for k := range s.columns {
		if c := &s.columns[k]; c.role == roleValue && s.flip[c.channel] {
			for k, v := range b.values[c.channel][begun:b.n] {
				b.values[c.channel][begun+k] = 0 - v // nothing has no sign
			}
		}
	}
	s.spread.takeBack(b, read)
	return read > 0
}

// plainColumn is a column of plain rows.
type plainColumn struct {
	role     role
	channel  Channel
	written  uint8     // decimals at the most
	skip     int       // fields between the column before and this one
	unit     *unit     // nil where it changes nothing
	greatest float64   // that is credible
	values   []float64 // where they go
}

// planPlain makes room in the block for what plain rows hold.
func (s *Scanner) planPlain(b *block) {
	s.plain = slices.Grow(s.plain[:0], len(s.columns))[:len(s.columns)]
	next := 0
	for k := range s.columns {
		c, x := &s.columns[k], &s.plain[k]
		*x = plainColumn{role: c.role, channel: c.channel, skip: max(c.index-next, 0)}
		if c.role == roleValue {
			x.values, x.greatest = b.column(c.channel), channelFacts[c.channel].greatest
			if !c.plain {
				x.unit = c.unit
			}
		}
		next += x.skip + 1
	}
	b.column(Time)
}

// plainRowInto reads the next line if it is plain: a row of plain numbers, without quotes, that follows the one before in time. Any
// other line it leaves where it is.
func (s *Scanner) plainRowInto(b *block) bool {
	l := s.lines
	text := l.buf[l.start:]
	if len(text) == 0 || !isDigit(text[0]) && text[0] != '-' {
		return false
	}
	separator, decimal := s.separator, s.decimal
	s.fieldPlaces = s.fieldPlaces[:0]
	k, p, fields := b.n, 0, 0
	var at stamp
	written := uint8(unknownDecimals) // in how many decimals its number is
	for n := range s.plain {
		c := &s.plain[n]
		if n > 0 {
			if p >= len(text) || text[p] != separator {
				return false
			}
			p++
		}
		if fields += c.skip + 1; c.skip > 0 {
			if p = s.pass(p, c.skip); p < 0 {
				return false
			}
		}
		if c.role == roleWrittenTime {
			begun := p
			if at, p = s.writtenStamp(text, p); p < 0 {
				return false
			}
			s.fieldPlaces = append(s.fieldPlaces, begun, p)
			continue
		}
		v, decimals, end := plainNumber(text, p, decimal)
		if end < 0 || v != v && c.role == roleNumericTime {
			return false
		}
		s.fieldPlaces = append(s.fieldPlaces, p, end)
		if p = end; v != v { // no value
			c.values[k] = v
			continue
		}
		if c.role == roleNumericTime {
			at.part, written = v, decimals
			if s.times[0].form != timeSeconds {
				at = s.times[0].form.numericStamp(v)
			}
			continue
		}
		if c.unit != nil {
			v, decimals = c.unit.Base(v), unknownDecimals
		}
		if !(math.Abs(v) <= c.greatest) {
			return false
		}
		if decimals > c.written {
			c.written = decimals
		}
		c.values[k] = v
	}
	if p >= len(text) || text[p] != l.end {
		if p, fields = s.behind(text, p, fields); p < 0 {
			return false
		}
	}
	if fields > s.maxFields || p > maxLine || !s.placePlain(b, at, written) {
		return false
	}
	l.number++
	b.line[k], b.offset[k] = l.number, l.offset+int64(l.start)
	b.n++
	l.start += p + 1
	s.keepShape(text[:p+1])
	return true
}

// pass passes over so many fields from p on, and says where the next begins; −1 where there is none.
func (s *Scanner) pass(p, fields int) int {
	l := s.lines
	for range fields {
		if p = l.over(p, s.separator); p < 0 || l.buf[l.start+p] != s.separator {
			return -1
		}
		p++
	}
	return p
}

// writtenStamp reads the written time at p and says where it ends; −1 where it is none.
func (s *Scanner) writtenStamp(text []byte, p int) (stamp, int) {
	end := s.lines.over(p, s.separator)
	if end < 0 {
		return stamp{}, -1
	}
	line := text[p:end]
	if text[end] != s.separator {
		line = bytes.TrimSuffix(line, []byte("\r"))
	}
	at, ok := s.times[0].form.parseStamp(trimBlank(line))
	if !ok {
		return stamp{}, -1
	}
	return at, end
}

// behind passes over what stands behind the last column that is read, and says where the line ends and how many fields it has; −1 where
// it is not plain.
func (s *Scanner) behind(text []byte, p, fields int) (end, all int) {
	l := s.lines
	for p < len(text) && text[p] == s.separator {
		fields++
		if p = l.over(p+1, s.separator); p < 0 {
			return -1, 0
		}
	}
	if p > 0 && text[p-1] == s.separator {
		fields-- // nothing stands behind the last one
	}
	if p < len(text) && text[p] == '\r' && l.end != '\r' {
		p++
	}
	if p >= len(text) || text[p] != l.end {
		return -1, 0
	}
	return p, fields
}

// placePlain puts a row at its time, where it follows the one before; the stamp's number was written in so many decimals.
func (s *Scanner) placePlain(b *block, at stamp, written uint8) bool {
	since := at.since(s.clock.first) + s.clock.shift
	step := since - s.clock.last
	if off := at.since(s.placed); !at.usable() || !(step > 0) || !(off > 0) || off > strayAhead {
		return false
	}
	if s.unit > 0 && (written == unknownDecimals || !s.told(written)) {
		s.digits.addTo(at.part/s.unit, finestStamp)
	}
	s.placed, s.clock.last, s.clock.step = at, since, step
	s.times[0].last = at
	if s.times[0].form != timeSeconds && s.times[0].form != timeUnix {
		written = unknownDecimals
	}
	b.written[Time] = max(b.written[Time], written)
	b.time[b.n] = since
	return true
}

// told says whether stamps of so many decimals tell no finer digit.
func (s *Scanner) told(decimals uint8) bool {
	return s.digits.decimals >= finestStamp || !s.minutes && int(decimals) <= s.digits.decimals
}

// over is where the field ends that begins at p behind the start of the line: at the separator or at the line's end; -1 where the line
// goes on beyond the buffer, or holds a quote or a zero byte.
func (l *lineReader) over(p int, separator byte) int {
	for k, c := range l.buf[l.start+p:] {
		switch c {
		case separator, l.end:
			return p + k
		case '"', 0:
			return -1
		}
	}
	return -1
}

// plainNumber reads a number of digits, with a sign and a decimal mark where there are any and blanks around it, as scanNumber reads it,
// and says in how many decimals it is written, or that it has too many digits to tell. No value stands for no number; end is -1 where one
// begins that is written in another way.
func plainNumber(b []byte, p int, decimal byte) (v float64, decimals uint8, end int) {
	for p < len(b) && b[p] == ' ' {
		p++
	}
	start := p
	negative := p < len(b) && b[p] == '-'
	if negative {
		p++
	}
	first := p
	var mantissa uint64
	for p < len(b) {
		c := b[p] - '0'
		if c > 9 {
			break
		}
		mantissa = mantissa*10 + uint64(c)
		p++
	}
	if p == first {
		if negative || p < len(b) && b[p] == decimal {
			return 0, 0, -1
		}
		return math.NaN(), unknownDecimals, p
	}
	digits, places, point := p-first, 0, -1
	if p < len(b) && b[p] == decimal {
		point = p - start
		p++
		behind := p
		for p < len(b) {
			c := b[p] - '0'
			if c > 9 {
				break
			}
			mantissa = mantissa*10 + uint64(c)
			p++
		}
		if places = p - behind; places == 0 {
			return 0, 0, -1
		}
		digits += places
	}
	switch {
	case digits <= 15:
		v = float64(mantissa) / powersOfTen[places]
		if negative {
			v = -v
		}
		decimals = uint8(places)
		if mantissa > surestMantissa {
			decimals = unknownDecimals
		}
	default:
		var ok bool
		if v, ok = parseExact(b[start:p], point); !ok {
			return 0, 0, -1
		}
		decimals = unknownDecimals
	}
	for p < len(b) && b[p] == ' ' {
		p++
	}
	return v, decimals, p
}

// surestMantissa is the greatest number of last digits of which a decimalGrain does not take the rounding of a float64 for another digit.
const surestMantissa = 1e11
