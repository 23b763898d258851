package run

import (
	"fmt"
	"slices"
	"strings"

	"voltwright/internal/journal"
	"voltwright/internal/site/charts"
	"voltwright/internal/site/driving"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/prose"
	"voltwright/internal/site/reading"
)

// leaves gives what folds on a run's page its faces, and leaves open the chart that says how it went.
func leaves(rd *reading.Reader, s *frame.Sheet, r *journal.Run, v *runView) {
	v.Leaves = frame.Leaves{}
	if len(v.Charts) > 0 {
		v.First, v.Charts = v.Charts[0], v.Charts[1:]
		v.Leaves.Add("more-charts", "", "More charts", numeral.Say(chartWords(v.Charts)))
	}
	if t := v.Results; t != nil {
		said := numeral.Count(len(t.Rows), "figure")
		if n := t.Unknown(); n > 0 {
			said += fmt.Sprintf("; %d more not known", n)
		}
		v.Leaves.Add("results", "", "All figures", numeral.Say(said+"."))
	}
	v.Leaves.Add("prediction", "", "Against the prediction", predictionFace(rd, r)...)
	if v.Speed != nil {
		v.Leaves.Add("speed", "", "Speed against the prediction", speedFace(v.Speed)...)
	}
	v.Leaves.Add("story", "", "Remarks", numeral.Say(prose.LengthWords(v.Story)+"."))
	if result := rd.Result(r); v.Stops != nil && result != nil {
		out := 0
		for _, stop := range result.Stops {
			if stop.TakenOut {
				out++
			}
		}
		v.Leaves.Add("stops", "", "Stops", numeral.Say(fmt.Sprintf("%s, %d taken out whole.", numeral.Count(result.StopCount, "stop"), out)))
	}
	v.Leaves.Add("method", "", "How it was measured", numeral.Say(methodWords(rd, r)))
	title := "Evidence"
	if v.Log != nil {
		title = "Evidence and log"
	}
	v.Leaves.Add("evidence", "", title, numeral.Say(evidenceWords(v)))
	v.Leaves.Add("cite", "", "To cite this run", numeral.Say("A line to copy."))
}

// chartWords names what charts show.
func chartWords(list []*charts.ChartView) string {
	var names []string
	for _, c := range list {
		for _, head := range c.Head[min(1, len(c.Head)):] { // the first column is the time
			name, _, _ := strings.Cut(head, " in ")
			if name = numeral.MidSentence(name); !slices.Contains(names, name) {
				names = append(names, name)
			}
		}
	}
	return numeral.Sentence(numeral.Sentenceless(strings.Join(names, ", ")))
}

// predictionFace says how far off a run's prediction was.
func predictionFace(rd *reading.Reader, r *journal.Run) []numeral.Phrase {
	c := rd.CheckOf(r)
	if c == nil {
		return []numeral.Phrase{numeral.Say("Not predicted.")}
	}
	out := []numeral.Phrase{numeral.Say("The voltage is off by "), numeral.SayNumber(numeral.CellVolts(c.Voltage, ""))}
	if c.Why == "" {
		out = append(out, numeral.Say(", the time by "), numeral.SayNumber(numeral.Signed(c.TimeError(), "")))
	}
	return append(out, numeral.Say("."))
}

// speedFace says how far off the speeds were that were predicted.
func speedFace(v *driving.SpeedView) []numeral.Phrase {
	var out []numeral.Phrase
	for _, row := range v.Rows {
		if what, found := strings.CutSuffix(row.Label, " off the prediction by"); found {
			if out != nil {
				out, what = append(out, numeral.Say(", ")), numeral.MidSentence(what)
			}
			out = append(out, numeral.Say(what+" "), numeral.SayNumber(row.Cells[0].Value))
		}
	}
	if out == nil {
		return []numeral.Phrase{numeral.Say("Not predicted.")}
	}
	return append(out, numeral.Say("."))
}

// methodWords say under what a run was made.
func methodWords(rd *reading.Reader, r *journal.Run) string {
	var said []string
	add := func(n numeral.Numeral) {
		if n.Set {
			said = append(said, n.Whole)
		}
	}
	add(rd.Units(numeral.Stated(r.Conditions.Temperature)))
	add(rd.Units(numeral.Stated(r.Conditions.Payload)))
	add(numeral.Words(numeral.Plain(r.Conditions.Surface)))
	if n := numeral.Stated(r.Conditions.Setting); n.Set {
		said = append(said, "setting "+n.Whole)
	}
	if n := len(r.Instruments); n > 0 {
		said = append(said, numeral.Count(n, "instrument"))
	}
	if len(said) == 0 {
		return "Under what it was made is not stated."
	}
	return strings.Join(said, ", ") + "."
}

// evidenceWords say what there is to look at.
func evidenceWords(v *runView) string {
	if v.Log == nil {
		return "Read by hand; " + numeral.Count(len(v.Files), "file") + "."
	}
	return "The log and how it was read; " + numeral.Count(len(v.Files), "file") + "."
}
