package correction

import (
	"html/template"

	"voltwright/internal/journal"
	"voltwright/internal/site/address"
	"voltwright/internal/site/forecast"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/linked"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/prose"
	"voltwright/internal/site/reading"
)

// correctionView is the view of a correction's page.
type correctionView struct {
	Date    *frame.Day
	So      template.HTML
	Said    []saidRow
	Moved   []movedRow
	Found   template.HTML
	Since   *frame.Day
	Touched []frame.Link
	Story   template.HTML
	Matters bool
	Struck  bool
}

type saidRow struct {
	Words string
	Page  frame.Link
}

// movedRow is an answer that was another.
type movedRow struct {
	forecast.MovedLine
	Now  numeral.Numeral
	Page frame.Link
}

func moved(rd *reading.Reader, s *frame.Sheet, n *journal.NotePage) (out []movedRow) {
	for i := range n.Correction.Moved {
		m := &n.Correction.Moved[i]
		if m.Of.Version == nil {
			continue
		}
		row := movedRow{MovedLine: forecast.MovedBy(s, n, m), Page: rd.PlaceLink(s, m.Of.Version.Place())}
		row.Said, row.Page.Href = m.Said.Text, row.Page.Href+"#"+address.MovedAnchor(n, m)
		row.Of, row.Now = forecast.NowOf(rd, s, m)
		out = append(out, row)
	}
	return out
}

func lay(rd *reading.Reader, s *frame.Sheet, n *journal.NotePage) error {
	c := n.Correction
	v := correctionView{Date: frame.DayOf(n.Date), Since: frame.DayOf(c.Since),
		Matters: c.MattersForSafety.Value, Struck: c.Struck()}
	found := c.Found
	if len(found.Parts) == 0 {
		found.Text = numeral.Sentence(found.Text)
	}
	var err error
	if v.Found, err = prose.Line(rd, s, journal.Place{Page: n}, found); err != nil {
		return err
	}
	if v.So, err = prose.Opening(rd, s, n.Document()); err != nil {
		return err
	}
	if v.Story, err = prose.Rest(rd, s, n.Document(), 2); err != nil {
		return err
	}
	for i := range c.Said.List {
		said := &c.Said.List[i]
		if len(said.Spans()) > 0 {
			to := rd.PlaceLink(s, said.Place)
			to.Href += "#" + address.TakenBackAnchor(n, said)
			v.Said = append(v.Said, saidRow{said.Words.Text, to})
		}
	}
	v.Moved = moved(rd, s, n)
	for _, p := range c.Touched {
		v.Touched = append(v.Touched, rd.PlaceLink(s, p))
	}
	rd.Inspect(s, []string{n.Note.Path}, nil)
	s.Block.Type, s.Block.Issued, s.Block.Revision = "Correction", v.Date, "first issue"
	s.Said.Then = numeral.OnPage(rd.PlainOpening(n))
	s.Linked = linked.LinkedCorrection(rd, n)
	s.Body = v
	return nil
}
