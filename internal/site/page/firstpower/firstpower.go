package firstpower

import (
	"fmt"
	"slices"

	"voltwright/internal/journal"
	"voltwright/internal/site/address"
	"voltwright/internal/site/cautions"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
	"voltwright/internal/site/wiringsheet"
	"voltwright/internal/study"
)

// view is the page of a first power-up.
type view struct {
	Version, Vehicle frame.Link
	Headline, Then   string
	Live             []wiringsheet.Live
	Steps            []step
	Cautions         []string
	Leaves           frame.Leaves
	Judged           *judged
}

// step is one row to do and to tick off.
type step struct {
	Number          int
	Anchor          string
	Name, Do        string
	At, Reads, Stop string
	Was             []was
}

// was is what a meter showed at a step on one run.
type was struct {
	Run    frame.Link
	Reads  string
	Inside bool
}

// judged counts the readings that came back.
type judged struct{ Words string }

func lay(rd *reading.Reader, s *frame.Sheet, v *journal.Version) error {
	w := rd.Wired(v)
	steps := study.FirstPower(v, w)
	out := view{Version: frame.Link{Words: reading.VersionWords(v), Href: s.To(address.Version(v))}, Vehicle: frame.Link{Words: v.Vehicle.Name.Text, Href: s.To(address.Vehicle(v.Vehicle))},
		Live: wiringsheet.StaysLive(rd, s, v, w), Cautions: cautions.ForTheBench(v), Leaves: frame.Leaves{}}
	measured, inside, outside := 0, 0, 0
	for i := range steps {
		p := &steps[i]
		row := step{Number: i + 1, Name: numeral.OnPage(p.Name), Do: numeral.OnPage(p.Do), Stop: numeral.OnPage(p.Stop), Anchor: fmt.Sprintf("step-%d", i+1)}
		if p.Reads.Unit != "" {
			measured++
			row.At, row.Reads = numeral.OnPage(p.Where()), numeral.OnPage(p.Reads.Said())
		}
		if p.Reads.Unit != "" {
			row.Was = readings(s, v, p.Name, p.Reads.Holds)
		}
		for _, r := range row.Was {
			if r.Inside {
				inside++
			} else {
				outside++
			}
		}
		out.Steps = append(out.Steps, row)
	}
	out.Headline = fmt.Sprintf("%s, %d with a reading: fuses out first, the charger last.", numeral.Count(len(steps), "step"), measured)
	out.Then = "Stop at the first reading that is outside its range, draw the fuse of every pack, and find out why."
	if inside+outside > 0 {
		out.Judged = &judged{fmt.Sprintf("%s came back: %d inside, %d outside.", numeral.Count(inside+outside, "reading"), inside, outside)}
	}
	out.Leaves.Add("cautions", "", "Cautions", numeral.Say("What goes with every build, whatever its numbers."))
	out.Leaves.Add("how-ranges-are-made", "", "How the ranges are made", numeral.Say("From the drawing, with the packs anywhere between flat and full."))
	rd.Inspect(s, nil, []string{v.Note.Path})
	s.Block.Type, s.Block.Issued, s.Block.Revision = "First power-up", frame.DayOf(frame.Newest(v.Date)), "version "+reading.VersionNumber(v)
	s.Body = out
	return nil
}

// readings are what came back of a step, run by run.
func readings(s *frame.Sheet, v *journal.Version, step string, holds func(float64) bool) []was {
	var all []was
	for _, r := range v.Runs {
		i := slices.IndexFunc(r.FirstPower, func(f journal.PowerReading) bool { return f.Step.Text == step && f.Reads.Set })
		if i < 0 {
			continue
		}
		q := r.FirstPower[i].Reads.Quantity
		all = append(all, was{frame.Link{Words: r.Name.Text, Href: s.To(address.Run(r))}, numeral.OnPage(q.String()), holds(q.Value)})
	}
	return all
}
