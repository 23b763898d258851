package runlog

import (
	"fmt"
	"math"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// ValueAccount says what became of the values of one channel in the rows used: Rows is always the sum of the rest.
type ValueAccount struct {
	Channel Channel
	Rows    int
	Held    int // values that were measured with
	Empty   int // fields that hold none
	LeftOut int // values that no pack can have, or that stand alone
}

// TimeAccount says what became of the elapsed time: every sample stands for the time to the next, half of it before and
// half after where the current moves in a straight line, and Elapsed is always the sum of the rest.
type TimeAccount struct {
	Elapsed quantity.Seconds
	Counted quantity.Seconds // integrated
	Gaps    quantity.Seconds // not integrated across
	Without quantity.Seconds // before the first and after the last row with a current; all of it where there is no current

	// MayHide is the greatest charge that can have flowed in the gaps, at the greater of the currents at their ends. It
	// stands in the interval of the charge.
	MayHide quantity.AmpereHours
}

// timeKeeper gathers the time account.
type timeKeeper struct {
	first, last   float64
	any           bool
	counted, gaps total
	hidden        total
}

func (k *timeKeeper) pass(p *passage) {
	if !k.any {
		k.any, k.first = true, p.a.t
	}
	k.last = p.b.t
	if p.kind == gap {
		k.gaps.add(p.length())
		k.hidden.add(max(math.Abs(p.a.i), math.Abs(p.b.i)) * p.length())
		return
	}
	k.counted.add(p.length())
}

// ramps takes intervals in succession, as pass takes one.
func (k *timeKeeper) ramps(r *ramps) {
	if !k.any {
		k.any, k.first = true, r.t[0]
	}
	k.last = r.t[len(r.d)]
	k.counted.add(r.t[len(r.d)] - r.t[0])
}

// leftOut is how many values of a channel the meter left out.
func (m *Meter) leftOut(c Channel) int { return m.ranges.beyond[c] + m.odd.left[c] + m.unusable[c] }

// account closes the books: what the reader left out, what the meter left out, and what became of the values and of the time.
func (r *Result) account(a Accounts, m *Meter) {
	if m.skipped > 0 {
		a.LeftOut = append(a.LeftOut, LeftOut{"log-clock-back", m.skipped})
	}
	if m.outside > 0 {
		a.LeftOut = append(a.LeftOut, LeftOut{ruleSeveralParts, m.outside})
	}
	a.Used = m.rows
	r.Accounts = a
	r.Skipped = a.Sum() - m.outside
	for _, c := range Channels() {
		if held := m.held[c]; held > 0 || m.leftOut(c) > 0 {
			r.Values = append(r.Values, ValueAccount{c, m.rows, held, m.rows - held - m.leftOut(c), m.leftOut(c)})
		}
	}
	elapsed := m.last - m.first
	counted, gaps := m.time.counted.value(), m.time.gaps.value()
	r.Time = TimeAccount{Elapsed: quantity.Seconds(elapsed), Counted: quantity.Seconds(counted), Gaps: quantity.Seconds(gaps),
		Without: quantity.Seconds(elapsed - counted - gaps), MayHide: quantity.AmpereHours(m.time.hidden.value() / secondsPerHour)}
	if m.time.any && !(math.Abs(m.time.last-m.time.first-counted-gaps) <= 1e-6*(1+elapsed)) {
		panic("runlog: the intervals do not sum to the time")
	}
}

const ruleMostlyLeftOut = "log-mostly-left-out"

// mostlyLeftOut says of a log of which more rows are left out than used, other than those of parts that were not asked for, that it
// cannot be used.
func (r *Result) mostlyLeftOut(src *finding.Source) []finding.Finding {
	if r.Skipped <= r.Accounts.Used {
		return nil
	}
	return []finding.Finding{{Rule: ruleMostlyLeftOut, Level: finding.Error, Span: finding.Span{Source: src}, Text: "more rows are left out than used: " + r.Ledger(),
		Remedy: "look at the first rows that are left out: at the separator, at the decimal sign and at the form of the time"}}
}

// leftOutWords says why rows are left out, in the words of a list; a rule that is not here is named by itself.
var leftOutWords = map[string]string{
	"log-bad-field": "with a field that is no number", "log-bad-time": "with a time of another form", "log-no-time-in-row": "without a time",
	"log-short-row": "that end early", "log-long-row": "with too many fields", "log-open-quote": "with a quote that is not closed",
	"log-line-too-long": "longer than 64 KiB", "log-clock-back": "earlier than the row before", ruleSeveralParts: "of other parts",
}

// Ledger says in one line what became of every row: "2000 rows: 1990 used, 10 left out (10 with a field that is no number)".
// It is empty where there is no log.
func (r *Result) Ledger() string {
	a := &r.Accounts
	rows := a.Lines - a.Head - a.Aside
	if rows == 0 {
		return ""
	}
	text := fmt.Sprintf("%s: %d used", plural(rows, "row"), a.Used)
	if n := a.Sum(); n > 0 {
		var why []string
		for _, l := range a.LeftOut {
			words := leftOutWords[l.Rule]
			if words == "" {
				words = "by " + l.Rule
			}
			why = append(why, fmt.Sprintf("%d %s", l.Rows, words))
		}
		text += fmt.Sprintf(", %d left out (%s)", n, strings.Join(why, ", "))
	}
	for _, v := range r.Values {
		if v.LeftOut > 0 {
			text += fmt.Sprintf("; %s of the %s left out", plural(v.LeftOut, "value"), v.Channel)
		}
		if v.Empty > 0 {
			text += fmt.Sprintf("; the %s empty in %d", v.Channel, v.Empty)
		}
	}
	return text
}

// TimeLedger says what became of the time, where not all of it was counted; "" where it was.
func (r *Result) TimeLedger() string {
	t := &r.Time
	if t.Gaps <= 0 && !(float64(t.Without) > 0.5) || t.Counted <= 0 {
		return ""
	}
	text := fmt.Sprintf("Of %s, %s are counted", plain(float64(t.Elapsed), quantity.Time), plain(float64(t.Counted), quantity.Time))
	if t.Gaps > 0 {
		text += fmt.Sprintf("; %s lie in gaps, in which up to %s may have flowed", plain(float64(t.Gaps), quantity.Time), plain(float64(t.MayHide), quantity.Charge))
	}
	if float64(t.Without) > 0.5 {
		text += fmt.Sprintf("; %s have no current at their ends", plain(float64(t.Without), quantity.Time))
	}
	return text + "."
}
