package reading

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/predict"
	"voltwright/internal/safety"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
)

// Callout turns a finding into the callout of a page.
func (rd *Reader) Callout(s *frame.Sheet, f finding.Finding, mine bool, href string) frame.Callout {
	c := frame.Callout{Rule: f.Rule, Signal: string(f.Signal), Class: strings.ToLower(string(f.Signal)), Text: numeral.Coded(numeral.Sentence(f.Text)), Remedy: numeral.Coded(numeral.Sentence(f.Remedy)), Href: href,
		Source: numeral.Coded(numeral.Sentence(rd.Sources[f.Rule]))}
	if g := f.Gauge; g != nil {
		c.Gauge = frame.NewGauge(g)
		if g.Source != "" {
			c.Source = numeral.Coded(numeral.Sentence(g.Source))
		}
	}
	c.Brief = numeral.Unbroken(numeral.OnPage(cmp.Or(safety.Line(f), rd.Titles[f.Rule], strings.TrimSuffix(numeral.Sentence(f.Text), "."))))
	if f.Answer != nil {
		c.Answer = numeral.Sentence(f.Answer.Reason)
	}
	place, ok := rd.Journal.PlaceOf(f.Span.File())
	switch {
	case !ok || mine:
	case place.Run != nil:
		c.Where = &frame.Link{Words: place.Run.Name.Text, Href: s.To(place.Address() + "index.html")}
	case place.Version != nil:
		c.Where = &frame.Link{Words: place.Vehicle.Name.Text + ", version " + VersionNumber(place.Version), Href: s.To(place.Address() + "index.html")}
	}
	if c.Where != nil {
		if place.Version != nil {
			c.Past = place.Version.Superseded()
		}
		text := numeral.Sentence(f.Text)
		c.Text = numeral.Coded(f.Text[:1] + text[1:])
	}
	return c
}

// AnswersOf is Answers for a version that may be nil.
func (rd *Reader) AnswersOf(v *journal.Version) *predict.Prediction {
	if v == nil {
		return nil
	}
	return rd.Answers(v)
}

// RuleNotShown is the rule of findings about plots, tables and diagrams that a page cannot show.
const RuleNotShown = "embed-not-shown"

// NotShown reports an embed whose target is there and has nothing to show.
func (rd *Reader) NotShown(e *notes.Embed, text, remedy string) {
	rd.Raised.Add(finding.Finding{Rule: RuleNotShown, Level: finding.Error, Span: e.Span, Text: text, Remedy: remedy})
}

// CalloutLines are the callouts of files as plain text, the most serious first.
func (rd *Reader) CalloutLines(files []string) []string {
	var found []finding.Finding
	for _, f := range rd.FindingsOf(files...) {
		if f.Signal != "" {
			found = append(found, f)
		}
	}
	slices.SortStableFunc(found, func(a, b finding.Finding) int { return frame.Rank(string(a.Signal)) - frame.Rank(string(b.Signal)) })
	var out []string
	for _, f := range found {
		out = append(out, strings.TrimSpace(string(f.Signal)+": "+numeral.Sentence(f.Text)+" "+numeral.Sentence(f.Remedy)))
	}
	return out
}

// ChangedOn is when a question last changed, as a date of the journal.
func (rd *Reader) ChangedOn(n *journal.NotePage) notes.Date {
	date, _ := rd.lastChange(&frame.Sheet{Path: address.Question(n)}, n)
	return date
}

// Inspect puts the findings of the page's own files on it. With them come those of the files in also, whose callouts
// are shown and whose other findings are only counted.
func (rd *Reader) Inspect(s *frame.Sheet, own, also []string) {
	rd.Pages.Concern(s.Path, own, also)
	counts := map[finding.Level]int{}
	for _, f := range rd.FindingsOf(slices.Concat(own, also)...) {
		mine := slices.Contains(own, f.Span.File())
		counts[f.Level]++
		text, remedy := numeral.Sentence(f.Text), numeral.Sentence(f.Remedy)
		if rd.isLog(f.Span.File()) {
			text, remedy = publicQuotes(text), publicQuotes(remedy)
		}
		href := rd.MethodLink(s, finding.RuleDoc, f.Rule)
		switch {
		case f.Signal != "":
			c := rd.Callout(s, f, mine, href)
			if mine {
				c.Anchor = s.Anchor("callout-" + f.Rule)
				rd.Pages.Show(f, s.Path, c.Anchor)
			}
			s.Callouts = append(s.Callouts, c)
		case mine && f.Unjudged:
			rd.Pages.Show(f, s.Path, "unjudged")
			s.Unjudged = append(s.Unjudged, frame.Remark{Level: f.Level.String(), Text: numeral.Coded(text), Remedy: numeral.Coded(remedy), Rule: f.Rule, Href: href, Place: placeOf(f.Span)})
		case mine:
			rd.Pages.Show(f, s.Path, "inspection")
			s.Remarks = append(s.Remarks, frame.Remark{Level: f.Level.String(), Text: numeral.Coded(text), Remedy: numeral.Coded(remedy), Rule: f.Rule, Href: href, Place: placeOf(f.Span)})
		}
	}
	slices.SortStableFunc(s.Callouts, func(a, b frame.Callout) int { return frame.Rank(a.Signal) - frame.Rank(b.Signal) })
	s.Block.Inspection = Verdict(counts)
}

func placeOf(s finding.Span) string {
	p := s.Position()
	if p.Line == 0 {
		return p.File
	}
	return fmt.Sprintf("%s, line %d", p.File, p.Line)
}

// Verdict is what inspection said, in the words of the title block.
func Verdict(counts map[finding.Level]int) string {
	var said []string
	for _, l := range []finding.Level{finding.Error, finding.Warning, finding.Note} {
		if n := counts[l]; n > 0 {
			said = append(said, numeral.Count(n, l.String()))
		}
	}
	if len(said) == 0 {
		return "clean"
	}
	return strings.Join(said, ", ")
}
