package runlog

import (
	"errors"
	"fmt"
	"io"
	"math"

	"voltwright/internal/finding"
)

// Scanner reads a log row by row. It looks at a bounded prefix to find out how
// the log is written, then streams: its memory does not grow with the log.
type Scanner struct {
	lines   *lineReader
	report  *tally
	options Options
	dialect Dialect

	usable      bool
	separator   byte
	decimal     byte
	skip        int    // lines above the first data row that are left to skip
	mark        bool   // the text begins with a byte order mark
	wide        string // the encoding, where the text had to be turned into UTF-8
	headText    string // the head row as written, to know it when it is repeated
	columns     []target
	plain       []plainColumn // of rows that are read straight into a block
	shapes      []*rowShape   // of these, the last one first
	shapeCredit int
	fieldPlaces []int // where the fields of a row begin and end
	maxFields   int   // a row with more has been shifted
	splitter    fieldSplitter

	times    [2]rowTimes // the log's time, and its second time
	step     float64
	doubt    string // why the unit of the time is doubted
	unitOpen bool   // the unit of the time is named nowhere
	minutes  bool   // the time is written to whole minutes
	clock    rowClock
	spread   spreader
	digits   *decimalGrain // of the stamps
	unit     float64       // s that they count; 0 where there are none
	ended    bool
	waiting  []*parsedRow // rows whose times may stray, the oldest first
	spare    []*parsedRow
	placed   stamp // of the last row that was given out
	signBy   signRule
	turn     float64 // under signByState: what becomes of a current below zero
	way      way
	empty    Sample // every value NaN
	flip     [channelCount]bool
	joined   bool     // the current stands in two columns
	inStep   timeForm // of a time in the step that is written as a clock
	accounts Accounts

	layout layout // what was sniffed, for who writes the log anew
	head   headRows
	plan   columnPlan
	left   string // the rule by which the last row was left out
	watch  func(t, lat, long float64)
}

// role is what a field does for its row.
type role uint8

const (
	roleValue role = iota
	roleNumericTime
	roleWrittenTime
	roleDate
	roleClock
	roleWhole
	roleNanos
	roleState
	roleLatitude
	roleLongitude
	roleBack      // the current that goes in, where the log has a column for each way
	roleStepClock // the time in the step, written as a clock
)

// rowTimes is how a time of a row is read.
type rowTimes struct {
	form   timeForm
	fields int   // that make it: 0, 1 or 2
	either bool  // day and month may stand either way round
	first  stamp // of the first row that has it
	last   stamp // of the row before
	rows   int   // that had it

	lastTurned stamp   // of the row before, with day and month the other way round
	shift      float64 // s to add since the order of day and month was settled
}

// target is a column that is read, in the order of the columns.
type target struct {
	source
	role  role
	plain bool // the unit changes nothing
	slot  int  // 0 for the log's time, 1 for its second time
}

// NewScanner finds out how the log is written and is then ready for Next. An
// error means that reading failed or that an option is a word that is not known; whatever is wrong with the text is a finding,
// and a log that cannot be read gives no samples and at least one Error.
func NewScanner(src *finding.Source, r io.Reader, o Options) (*Scanner, error) {
	r, wide := utf8Of(r)
	s := &Scanner{lines: newLineReader(r), wide: wide, report: &tally{src: src}, options: o, digits: &decimalGrain{}, shapeCredit: shapesKept * shapeCost}
	for i := range s.empty.Values {
		s.empty.Values[i] = math.NaN()
	}
	if err := errors.Join(s.lines.err, s.checkOptions()); err != nil {
		return nil, err
	}
	s.prepare()
	return s, nil
}

// Err is the error of reading, if reading failed.
func (s *Scanner) Err() error { return s.lines.err }

// Dialect is how the log is written.
func (s *Scanner) Dialect() Dialect { return s.dialect }

// Findings gives what the reader has to say so far. Of each rule a few are
// given one by one and the rest as a count.
func (s *Scanner) Findings() []finding.Finding { return s.report.findings() }

// Rows counts the samples given out, Skipped the rows left out.
func (s *Scanner) Rows() int    { return s.accounts.Used }
func (s *Scanner) Skipped() int { return s.accounts.Sum() }

// refuse reports why the log cannot be read at all.
func (s *Scanner) refuse(rule, text, remedy string, span finding.Span) {
	s.report.add(finding.Finding{Rule: rule, Level: finding.Error, Span: span, Text: text, Remedy: remedy})
}

// Next gives the next sample, and false at the end or when reading failed.
func (s *Scanner) Next() (Sample, bool) {
	if s.spread.unit == 0 {
		return s.next()
	}
	for {
		if sample, ok := s.spread.give(); ok || s.ended {
			return sample, ok
		}
		sample, ok := s.next()
		if ok {
			s.spread.take(&sample, s.placed.part, s.clock.held > 0)
		} else {
			s.ended = true
			s.spread.finish()
		}
	}
}

// next gives the next sample at the time of its stamp.
func (s *Scanner) next() (Sample, bool) {
	if !s.usable {
		return Sample{}, false
	}
	for end := false; ; {
		if row := s.release(end); row != nil {
			s.accounts.Used++
			s.spare = append(s.spare, row)
			return s.place(row), true
		} else if end {
			return Sample{}, false
		}
		line, offset, long, ok := s.lines.next()
		if !ok {
			end = true
			continue
		}
		s.accounts.Lines++
		if s.skip > 0 {
			s.skip--
			s.accounts.Head++
			continue
		}
		if long {
			s.fault(rowFault{rule: "log-line-too-long", text: fmt.Sprintf("this line is longer than %d KiB and is left out", maxLine>>10),
				remedy: "check that the file is a log with one row to a line"}, line, offset)
			continue
		}
		row := s.blank()
		row.sample = s.empty
		row.sample.Line, row.sample.Offset = s.lines.number, offset
		left := s.accounts.Sum()
		whole, parsed := s.row(line, offset, row)
		if more := s.lines.number - row.sample.Line; more > 0 {
			s.accounts.Lines += more
			s.accounts.Aside += more
		}
		if !parsed {
			if s.accounts.Sum() == left {
				s.accounts.Aside++
			}
			s.spare = append(s.spare, row)
			continue
		}
		row.line = append(row.line[:0], whole...)
		s.waiting = append(s.waiting, row)
	}
}
