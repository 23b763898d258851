package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/quantity"
	"voltwright/internal/runlog"
)

// resetMargin asks whether a cutout that has opened would stay open: without
// load the pack's voltage rises again, and a cutout that takes the rebound for
// a charged pack lets the load on under the rider, opens again, and so on.
var resetMargin = &rule{each: eachRun, judge: judgeResetMargin, doc: finding.Doc{
	Name: "reset-margin", Signal: finding.SignalWarning,
	Title: "The cutout may switch itself back on",
	What: "Looks at a run in which the cutout opened: how high the pack's voltage rose again without load, and how far " +
		"below the reset point (opening voltage plus reset threshold) that stayed. It speaks if that margin is smaller " +
		"than 0.2 V or than the expanded uncertainty of the margin itself, and says so where the run shows that it opened again.",
	Why: "A cutout that closes again by itself starts the vehicle without anyone's hand on it, opens again under the " +
		"load, and chatters: its contacts wear, and the pack is worked below the voltage it was meant to be spared.",
	Needs:   "the cutout's `opens` and `reset-threshold`, and a run that shows the voltage after the opening",
	Formula: "margin = (opening voltage + reset threshold) − highest voltage after the opening",
	Units:   "volts; expanded uncertainty with k = 2",
	Range:   "only for as long as the log or the readings go on after the opening: where the voltage is still rising at the end and no fit shows where it tends to, the rule says that it cannot judge",
	Source:  "0.2 V: common practice, no source. Uncertainty: JCGM 100:2008, 5.1.2 and 6.2.",
	Example: "  cutout: {opens: 24.6 V, reset-threshold: 1.9 V}",
}}

func judgeResetMargin(s *subject) []verdict {
	result, cutout := s.result(), s.version.Cutout
	if result == nil || result.Cutout == nil || cutout == nil { // nothing opened, or nothing that closes again by itself
		return nil
	}
	const question = "whether the cutout stays open"
	event, margin, at := result.Cutout, result.Cutout.Margin, s.run.EvidenceSpan()
	switch lacks := !cutout.Threshold.Known() || !margin.Margin.Known(); {
	case lacks && event.Openings > 1: // whatever the threshold is, it was reached
		return said(verdict{signal: finding.SignalWarning, at: at, numbers: fmt.Sprintf("opened %d times", event.Openings), related: []finding.Related{{Span: cutout.Span, Text: "the cutout as it is set"}},
			text:   fmt.Sprintf("the cutout opened %d times in this run: between two openings it switched the load on again by itself", event.Openings),
			remedy: "switch the vehicle off by hand each time it has opened; then raise the reset threshold, or use a cutout that stays open until it is reset by hand."})
	case !cutout.Threshold.Known():
		return cannot(at, question, "its reset threshold is not stated", "state `reset-threshold` in the version's `cutout`.")
	case !margin.Margin.Known():
		return cannot(at, question, "the voltage after its opening was not recorded", "let the log run on for some minutes after the cutout has opened, or note the voltage by hand.")
	case margin.OK && !mayRiseFurther(event):
		return nil
	case margin.OK:
		return cannot(at, question, fmt.Sprintf("the voltage was still rising when the record ended, with %s to spare below the reset point of %s", margin.Margin, event.ResetPoint),
			"let the log run on until the voltage stands still, or note it by hand an hour later.")
	}
	v := verdict{signal: finding.SignalWarning, at: at, remedy: widen(event, cutout)} // the vehicle starts with nobody's hand on it
	v.related = []finding.Related{{Span: cutout.Span, Text: "the cutout as it is set"}}
	v.gauge = least("margin below the reset point", margin.Margin.Value, margin.Needed, "")
	switch {
	case event.Openings > 1:
		v.text = fmt.Sprintf("the cutout opened %d times in this run: after the first opening the pack's voltage came back to %s, its reset point is %s, and the load was on again",
			event.Openings, event.Rebound.Peak, event.ResetPoint)
	case margin.Margin.Value <= 0:
		v.text = fmt.Sprintf("the pack's voltage came back to %s after the cutout had opened, which reaches its reset point of %s: the cutout switches the load on again by itself",
			event.Rebound.Peak, event.ResetPoint)
	default:
		v.signal = finding.Caution
		v.text = fmt.Sprintf("the pack's voltage came back to %s after the cutout had opened; its reset point is %s, so it stayed open with %s to spare where %s is needed: it may switch the load on again by itself",
			event.Rebound.Peak, event.ResetPoint, margin.Margin, volts(margin.Needed))
	}
	return said(v)
}

// mayRiseFurther says whether the record of a rebound ended too early to tell where it ends: the voltage was still rising,
// and no fit shows that it stays clear of the reset point.
func mayRiseFurther(event *runlog.CutoutEvent) bool {
	if !event.Rebound.StillRising {
		return false
	}
	fit := event.Rebound.Fit
	return fit == nil || !runlog.NewResetMargin(event.ResetPoint, fit.Asymptote).OK
}

// widen says by how much the threshold falls short, rounded up to a tenth. A rebound that the record cuts off counts as
// far as its fit says that it goes, and where there is none the figure is the least.
func widen(event *runlog.CutoutEvent, cutout *journal.Cutout) string {
	margin := event.Margin
	more := ""
	if event.Rebound.StillRising {
		more = ", and more if the voltage rises further than was recorded"
		if fit := event.Rebound.Fit; fit != nil {
			if far := runlog.NewResetMargin(event.ResetPoint, fit.Asymptote); far.Margin.Value < margin.Margin.Value {
				margin = far
			}
		}
	}
	least := ceilTenth(cutout.Threshold.Value + margin.Needed - margin.Margin.Value)
	return fmt.Sprintf("raise the reset threshold from %s to at least %s%s, or use a cutout that stays open until it is reset by hand. Until then, switch the vehicle off by hand each time it has opened.",
		cutout.Threshold.Written, volts(least), more)
}

func volts(v quantity.Volts) string {
	return quantity.Quantity{Dimension: quantity.Voltage, Value: float64(v), Unit: "V", Decimals: 1}.Rounded()
}

// ceilTenth rounds up to a tenth of a volt, forgiving the last binary digits.
func ceilTenth(v quantity.Volts) quantity.Volts {
	tenths := int(v * 10)
	if quantity.Volts(tenths)/10 < v-1e-9 {
		tenths++
	}
	return quantity.Volts(tenths) / 10
}
