package app

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"voltwright/internal/battery"
	"voltwright/internal/begin"
	"voltwright/internal/predict"
	"voltwright/internal/quantity"
	"voltwright/internal/record"
	"voltwright/internal/site/address"
)

// movedAnswers says which answers of versions lie outside the interval that the site in a folder gives for them, and why: a log, the spec, or a formula.
// Where a formula of ours was wrong a correction is drafted in words; nothing is written. A version or a load that the old site does not know has not moved.
func movedAnswers(in *inspected, site string) string {
	var b strings.Builder
	for _, vehicle := range in.journal.Vehicles {
		for _, v := range vehicle.Versions {
			text, err := os.ReadFile(filepath.Join(site, filepath.FromSlash(address.Predictions(v))))
			if err != nil {
				continue // none was published
			}
			var old record.PredictionDocument
			a := in.results.Prediction(v.Path())
			if err := json.Unmarshal(text, &old); err != nil || old.Head != record.HeadOf(record.PredictionKind) || a == nil {
				continue // of another vocabulary, or not ours
			}
			b.WriteString(answersMoved(v.Path(), old.Prediction, record.OfPrediction(a)))
		}
	}
	return b.String()
}

// answersMoved is the same of one version.
func answersMoved(version string, old, now record.Prediction) string {
	var b strings.Builder
	var was []begin.Was
	var moved predict.FormulaChange
	name := ""
	for _, is := range now.RunTimes {
		i := slices.IndexFunc(old.RunTimes, func(r record.RunTime) bool { return r.Name == is.Name })
		if i < 0 {
			continue
		}
		before := old.RunTimes[i]
		from, to := endOf(before), endOf(is)
		low, high, known := boundsOf(from)
		at, told := middleOf(to)
		if !known || !told || low <= at && at <= high {
			continue
		}
		why, wrong := whyMoved(old.Basis, now.Basis, before, is)
		fmt.Fprintf(&b, "Answer moved: %s, %s, running time to %s: said %s, now %s. %s\n", version, is.Load, is.EndsBy, timeOf(from), timeOf(to), why)
		if wrong != nil {
			was, moved, name = append(was, begin.Was{Answer: version + "/" + is.Name, Said: timeOf(from)}), *wrong, fmt.Sprintf("%s: %s runs %s", filepath.Base(version), is.Load, timeOf(to))
		}
	}
	if len(was) > 1 {
		name = fmt.Sprintf("%s: %d running times were others", filepath.Base(version), len(was))
	}
	if len(was) > 0 {
		b.WriteString(draftOf(was, name, moved))
	}
	return b.String()
}

func endOf(r record.RunTime) record.EndPoint {
	switch {
	case r.Cutout != nil:
		return *r.Cutout
	case r.Conservative != nil:
		return *r.Conservative
	}
	return record.EndPoint{}
}

// boundsOf are those of about 95 %, s.
func boundsOf(e record.EndPoint) (low, high quantity.Seconds, known bool) {
	switch {
	case e.Running.Value != nil && e.Running.U != nil:
		low, high = battery.Bounds(quantity.Seconds(*e.Running.Value), quantity.Seconds(*e.Running.U))
		return low, high, true
	case len(e.Between) == 2 && e.Between[0] != nil && e.Between[1] != nil:
		return quantity.Seconds(*e.Between[0]), quantity.Seconds(*e.Between[1]), true
	}
	return 0, 0, false
}

// middleOf is the time, or the middle of its bounds on a scale of factors.
func middleOf(e record.EndPoint) (quantity.Seconds, bool) {
	if e.Running.Value != nil {
		return quantity.Seconds(*e.Running.Value), true
	}
	low, high, known := boundsOf(e)
	return quantity.Seconds(math.Sqrt(float64(low * high))), known
}

func timeOf(e record.EndPoint) string {
	low, high, known := boundsOf(e)
	switch {
	case e.Running.Value != nil && known:
		return fmt.Sprintf("%s (%s to %s)", quantity.Clock(quantity.Seconds(*e.Running.Value), 60), quantity.Clock(low, 60), quantity.Clock(high, 60))
	case known:
		return fmt.Sprintf("%s to %s", quantity.Clock(low, 60), quantity.Clock(high, 60))
	}
	return "no time"
}

// whyMoved says what is another: the load, the spec, the runs that teach and their logs, else the formulas; wrong is the change that put right what was wrong.
func whyMoved(old, now record.Basis, was, is record.RunTime) (why string, wrong *predict.FormulaChange) {
	var all []string
	if was.LoadWords != is.LoadWords || was.Ambient != is.Ambient || was.From != is.From {
		all = append(all, fmt.Sprintf("its load is another: %s at %s, before %s at %s", is.LoadWords, quantity.Brief(quantity.Celsius(is.Ambient)), was.LoadWords, quantity.Brief(quantity.Celsius(was.Ambient))))
	}
	if old.Packs != now.Packs && old.Packs != "" {
		all = append(all, fmt.Sprintf("the spec is another: %s, before %s", now.Packs, old.Packs))
	}
	for _, r := range now.Runs {
		i := slices.IndexFunc(old.Runs, func(o record.CalibrationRun) bool { return o.Run == r.Run })
		switch {
		case r.Taught && (i < 0 || !old.Runs[i].Taught):
			all = append(all, r.Run+" teaches now")
		case i >= 0 && old.Runs[i].Taught && !r.Taught:
			all = append(all, r.Run+" teaches no more")
		case i >= 0 && r.Taught && (writtenOf(old.Runs[i].Out) != writtenOf(r.Out) || writtenOf(old.Runs[i].After10s) != writtenOf(r.After10s)):
			all = append(all, "the log of "+r.Run+" is another")
		}
	}
	for _, o := range old.Runs {
		if o.Taught && !slices.ContainsFunc(now.Runs, func(r record.CalibrationRun) bool { return r.Run == o.Run }) {
			all = append(all, o.Run+" is gone")
		}
	}
	for _, c := range predict.FormulasSince(old.Formulas) {
		all = append(all, "a better formula since "+c.Day+": "+c.What)
		if c.Wrong {
			wrong = &c
		}
	}
	if len(all) == 0 {
		return "Why: neither spec nor logs nor a formula that is listed; another version of the program computed it.", nil
	}
	return "Why: " + strings.Join(all, "; ") + ".", wrong
}

// writtenOf is a value as it was written, for comparing; "" where there is none.
func writtenOf(n record.Number) string {
	if n.Value == nil {
		return ""
	}
	return fmt.Sprint(*n.Value)
}

// draftOf is a correction for whoever published wrong times: to be looked through and written by the maker, or not. Written, it is the
// journal's own record of what was said, and the pages show it.
func draftOf(was []begin.Was, name string, c predict.FormulaChange) string {
	d, err := begin.Moved(was, fmt.Sprintf("A formula of ours was wrong until %s: %s.", longDay(c.Day), c.What), begin.Ask{Name: name})
	if err != nil {
		return ""
	}
	return "A formula of ours was wrong. A correction to look through, not written:\n" + indented(string(d.Files[0].Text))
}

// longDay is a day as pages write it: "3 May 2026".
func longDay(iso string) string {
	t, err := time.Parse(time.DateOnly, iso)
	if err != nil {
		return iso
	}
	return t.Format("2 January 2006")
}

func indented(text string) string {
	return "  " + strings.ReplaceAll(strings.TrimRight(text, "\n"), "\n", "\n  ") + "\n"
}
