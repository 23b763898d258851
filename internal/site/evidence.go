package site

import (
	"slices"

	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/runlog"
	"voltwright/internal/value"
)

func figureKind(name string) kind { return kind(value.KindOf(name)) }

// figures are the figures of a run, nil where it was not computed.
func (b *builder) figures(r *journal.Run) []runlog.Figure {
	id := r.ID()
	if have, ok := b.figuresOf[id]; ok {
		return have
	}
	var list []runlog.Figure
	if result := b.result(r); result != nil {
		list = result.Figures()
	}
	b.figuresOf[id] = list
	return list
}

func (b *builder) result(r *journal.Run) *runlog.Result {
	if b.in.Results == nil {
		return nil
	}
	return b.in.Results.Runs[r.ID()]
}

// figure is one figure of a run as it is printed on page s, with a link to its line in the run's table of results.
func (b *builder) figure(s *sheet, r *journal.Run, name string) numeral {
	for _, f := range b.figures(r) {
		if f.Name == name && f.Missing == "" {
			return b.units(printed(f.Quantity, figureKind(name), s.to(runPage(r)+"#"+resultAnchor(name))))
		}
	}
	return numeral{}
}

// units gives a value in the systems of units that the journal names: in the first of them, with its twin in the second
// beside it, if there is a second. A journal that names none has the value as it is, and its twin.
func (b *builder) units(n numeral) numeral {
	systems := b.in.Journal.Units
	if len(systems) == 0 || n.Twin == "" {
		return n
	}
	own := journal.Metric
	if n.us {
		own = journal.US
	}
	if n.twin != nil && systems[0].Value != own {
		first := printed(*n.twin, n.Kind, n.Href)
		first.Twin = n.Whole
		n = first
	}
	if !slices.ContainsFunc(systems, func(u notes.Choice[journal.UnitSystem]) bool { return u.Value != systems[0].Value }) {
		n.Twin = ""
	}
	return n
}

// twins names the system of the twins that stand beside values.
func (b *builder) twins() string {
	if systems := b.in.Journal.Units; len(systems) > 0 && systems[0].Value == journal.US {
		return "Metric"
	}
	return "US customary"
}

// resultAnchor is the anchor of a figure's line in the table of results.
func resultAnchor(figure string) string { return "r-" + figure }

// target resolves what an embed of a note is bound to. Where it is bound to nothing, inspection has said so.
func (b *builder) target(note string, e *notes.Embed) (journal.Target, bool) {
	at, ok := b.in.Journal.PlaceOf(note)
	if !ok {
		return journal.Target{}, false
	}
	t, err := b.in.Journal.Target(at, e)
	return t, err == nil
}
