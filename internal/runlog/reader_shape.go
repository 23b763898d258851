package runlog

import (
	"encoding/binary"
	"math"
)

// Rows of a logger mostly look alike: as many digits in each field, and the same marks between them. Of a row that was read field by
// field, the shape is kept, and a later one of that shape is read by it: it is compared eight bytes at a time, and its numbers are
// made from eight digits at a time, which are added up in pairs, fours and eights.

const (
	shapeWords = 16 // of eight bytes that a row has at the most
	shapesKept = 4
	shapeCost  = 8 // rows that are read by a shape, for which another is learnt
)

// rowShape is where digits and other bytes stand in a row.
type rowShape struct {
	length   int // bytes, with the line end
	words    int
	compared [shapeWords]shapedWord
	numbers  []shapedNumber // one for each column that is read
	used     bool           // since its decimals were told
	read     int            // rows
}

// shapedWord is what eight bytes are compared with.
type shapedWord struct {
	other  uint64 // the bytes that are no digit, noughts elsewhere,
	wanted uint64 // ones at these bytes,
	digits uint64 // and the highest bit of the others
}

// shapedNumber is where a number stands in a row.
type shapedNumber struct {
	kind     shapedKind
	negative bool
	places   uint8
	unsure   bool  // more digits than decimals are told of
	move     uint8 // bits by which the first digits are moved,
	then     uint8 // and those behind them
	at, next int   // bytes where they begin
	end      int   // and where the field ends
	before   uint64
	scale    uint64 // what the first digits count, by the last of all
	power    float64
}

// shapedKind is how a number is made.
type shapedKind uint8

const (
	shapedShort   shapedKind = iota // of up to eight digits, or seven with a mark between them
	shapedPair                      // of up to eight digits and as many behind them
	shapedEmpty                     // there is none
	shapedWritten                   // it is a written time
)

// learn takes the shape of a row that was read, whose fields begin and end at the places given, two for each column that is read;
// false where it has none.
func (x *rowShape) learn(row []byte, places []int, written []bool, decimal byte) bool {
	if len(row) > 8*shapeWords {
		return false
	}
	*x = rowShape{length: len(row), words: (len(row) + 7) / 8, numbers: x.numbers[:0]}
	for k, c := range row {
		bit := 8 * uint(k%8)
		switch {
		case c >= 0x80:
			return false
		case isDigit(c):
			x.compared[k/8].digits |= 0x80 << bit
		default:
			x.compared[k/8].other |= uint64(c) << bit
			x.compared[k/8].wanted |= 0xff << bit
		}
	}
	for k := range written {
		from, to := places[2*k], places[2*k+1]
		n := shapedNumber{kind: shapedWritten, at: from, end: to}
		if !written[k] {
			var ok bool
			if n, ok = shapedNumberOf(row, from, to, decimal); !ok {
				return false
			}
		}
		x.numbers = append(x.numbers, n)
	}
	return true
}

func shapedNumberOf(row []byte, from, to int, decimal byte) (n shapedNumber, ok bool) {
	if from == to {
		return shapedNumber{kind: shapedEmpty, end: to}, true
	}
	n = shapedNumber{at: from, end: to}
	if n.negative = row[from] == '-'; n.negative {
		n.at++
	}
	whole := 0
	for n.at+whole < to && isDigit(row[n.at+whole]) {
		whole++
	}
	mark := n.at + whole
	places := 0
	if mark < to {
		places = to - mark - 1
		if row[mark] != decimal || places == 0 {
			return n, false // blanks, or written in another way
		}
		for k := mark + 1; k < to; k++ {
			if !isDigit(row[k]) {
				return n, false
			}
		}
	}
	n.places, n.power, n.unsure = uint8(places), 1, whole+places > 11
	if places < len(powersOfTen) {
		n.power = powersOfTen[places]
	}
	all := whole + places
	switch {
	case whole == 0 || all > 15:
		return n, false
	case places == 0 && whole <= 8:
		n.kind, n.move, n.before = shapedShort, uint8(64-8*whole), math.MaxUint64
	case places == 0:
		n.kind, n.move, n.next, n.scale = shapedPair, uint8(64-8*(whole-8)), n.at+whole-8, 1e8
	case all < 8:
		n.kind, n.move, n.before = shapedShort, uint8(64-8*all), 1<<(8*uint(whole))-1
	case whole <= 8 && places <= 8:
		n.kind, n.move, n.next, n.then, n.scale = shapedPair, uint8(64-8*whole), mark+1, uint8(64-8*places), uint64(n.power)
	default:
		return n, false
	}
	return n, true
}

// is says whether text begins with a row of that shape; at least so many words of it are there.
func (x *rowShape) is(text []byte) bool {
	for k := range x.compared[:x.words] {
		c := &x.compared[k]
		word := binary.LittleEndian.Uint64(text[8*k:])
		values := word ^ noughts
		if (word^c.other)&c.wanted|(values+0x7676767676767676|values)&c.digits != 0 {
			return false
		}
	}
	return true
}

// noughts turns eight digits into their values.
const noughts = 0x3030303030303030

// eightDigits is the number that the values of eight digits make.
func eightDigits(x uint64) uint64 {
	x = x*10 + x>>8 // of two in every second byte
	return (x&0x000000ff000000ff*0x000f424000000064 + x>>16&0x000000ff000000ff*0x0000271000000001) >> 32
}

// shapedRows reads rows into the block for as long as they have a shape that is kept and follow one another in time.
func (s *Scanner) shapedRows(b *block) {
	l := s.lines
	for b.n < blockRows {
		text := l.buf[l.start:]
		x := s.shapeOf(text)
		if x == nil {
			return
		}
		k := b.n
		at, written, ok := s.shapedRow(x, k, text)
		if !ok || !s.placePlain(b, at, written) {
			return
		}
		x.used = true
		x.read++
		l.number++
		b.line[k], b.offset[k] = l.number, l.offset+int64(l.start)
		b.n = k + 1
		l.start += x.length
		s.shapeCredit++
	}
}

// shapeOf finds the shape of a text's first row among those that are kept, and puts it first; nil where it has none, or less than its
// words are there.
func (s *Scanner) shapeOf(text []byte) *rowShape {
	for k, x := range s.shapes {
		if 8*x.words+16 > len(text) || !x.is(text) {
			continue
		}
		if k > 0 {
			copy(s.shapes[1:k+1], s.shapes[:k])
			s.shapes[0] = x
		}
		return x
	}
	return nil
}

// shapedRow reads the values of a row into the k-th of the block, and says when it is and in how many decimals that is written; false
// where one is not plain.
func (s *Scanner) shapedRow(x *rowShape, k int, row []byte) (at stamp, written uint8, ok bool) {
	written = unknownDecimals
	columns := s.plain[:len(x.numbers)]
	for m := range x.numbers {
		n := &x.numbers[m]
		if n.kind > shapedPair {
			if n.kind == shapedEmpty {
				columns[m].values[k] = math.NaN()
			} else if at, ok = s.times[0].form.parseStamp(trimBlank(row[n.at:n.end])); !ok {
				return at, written, false
			}
			continue
		}
		word := binary.LittleEndian.Uint64(row[n.at:]) ^ noughts
		if n.kind != shapedPair {
			word = word&n.before | word>>8&^n.before
		}
		mantissa := eightDigits(word << (n.move & 63))
		if n.kind == shapedPair {
			rest := binary.LittleEndian.Uint64(row[n.next:]) ^ noughts
			mantissa = mantissa*n.scale + eightDigits(rest<<(n.then&63))
		}
		v := float64(int64(mantissa)) / n.power
		if n.negative {
			v = -v
		}
		c := &columns[m]
		if c.role == roleNumericTime {
			if at.part = v; s.times[0].form != timeSeconds {
				at = s.times[0].form.numericStamp(v)
			}
			if mantissa <= surestMantissa {
				written = n.places
			}
			continue
		}
		if n.unsure && mantissa > surestMantissa {
			c.written = unknownDecimals
		}
		if c.unit != nil {
			v = c.unit.Base(v)
		}
		if !(math.Abs(v) <= c.greatest) {
			return at, written, false
		}
		c.values[k] = v
	}
	return at, written, true
}

// keepShape keeps the shape of a row that was read.
func (s *Scanner) keepShape(row []byte) {
	if s.shapeCredit < shapeCost {
		s.shapeCredit++
		return
	}
	s.shapeCredit = min(s.shapeCredit, shapesKept*shapeCost) - shapeCost
	var x *rowShape
	if len(s.shapes) < shapesKept {
		x = &rowShape{}
	} else {
		x = s.shapes[len(s.shapes)-1]
		s.shapes = s.shapes[:len(s.shapes)-1]
		s.tellShape(x)
	}
	written := make([]bool, len(s.plain))
	for k := range s.plain {
		written[k] = s.plain[k].role == roleWrittenTime
	}
	if x.learn(row, s.fieldPlaces, written, s.decimal) {
		s.shapes = append(s.shapes, x)
		copy(s.shapes[1:], s.shapes)
		s.shapes[0] = x
	}
}

// tellShape says of the columns in how many decimals the rows of a shape were written.
func (s *Scanner) tellShape(x *rowShape) {
	if !x.used {
		return
	}
	x.used = false
	for m := range x.numbers {
		n, c := &x.numbers[m], &s.plain[m]
		switch {
		case c.role != roleValue || n.kind == shapedEmpty:
		case c.unit != nil:
			c.written = unknownDecimals
		default:
			c.written = max(c.written, n.places)
		}
	}
}
