package runlog

// Accounts says what became of every line of a log: Lines is always the sum of
// Head, Aside, Used and what is left out.
type Accounts struct {
	Lines int // lines read so far
	Head  int // lines above the first row: heads, units, preamble
	Aside int // lines among the rows that are none: blank, comments, repeated heads, further lines of a quoted field
	Used  int // rows that were given out as samples

	LeftOut []LeftOut // the rest, by reason, in the order in which the reasons came up
}

// LeftOut is how many rows were left out under one rule.
type LeftOut struct {
	Rule string
	Rows int
}

// Sum is the number of rows that were left out.
func (a *Accounts) Sum() int {
	sum := 0
	for _, l := range a.LeftOut {
		sum += l.Rows
	}
	return sum
}

// leave counts a row that is left out.
func (a *Accounts) leave(rule string) {
	for i := range a.LeftOut {
		if a.LeftOut[i].Rule == rule {
			a.LeftOut[i].Rows++
			return
		}
	}
	a.LeftOut = append(a.LeftOut, LeftOut{rule, 1})
}

// Accounts gives what became of every line read so far.
func (s *Scanner) Accounts() Accounts {
	a := s.accounts
	a.Lines -= len(s.waiting) // the rows that are held back are not decided yet
	a.LeftOut = append([]LeftOut(nil), a.LeftOut...)
	return a
}
