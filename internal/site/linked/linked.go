// Package linked says what is on pages in the terms of schema.org, as JSON-LD in a data block: a block that is no script is not
// run, and the policy of the pages has nothing to say of it.
package linked

import (
	"encoding/json"
	"html/template"
	"path"

	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
)

// linkedNode is a node of linked data. Keys are printed in the order of the alphabet.
type linkedNode map[string]any

// linked turns a node into JSON in which <, > and & are escaped, so that it may stand in a script element.
func linked(n linkedNode) template.JS {
	n["@context"] = "https://schema.org"
	text, err := json.Marshal(n)
	if err != nil { // strings and lists of them
		return ""
	}
	return template.JS(text)
}

func author(rd *reading.Reader) any {
	if !rd.Journal.Maker.Name.Set {
		return nil
	}
	return linkedNode{"@type": "Organization", "name": rd.Journal.Maker.Name.Text}
}

// AnswerText is a question's answer as one text: the short answer, before it that nothing is measured where that is so.
func AnswerText(rd *reading.Reader, n *journal.NotePage) string {
	text := numeral.OnPage(rd.PlainOpening(n))
	if len(n.Question.Runs) == 0 {
		text = "Not measured yet. " + text
	}
	return text
}

func linkedAnswer(rd *reading.Reader, n *journal.NotePage) linkedNode {
	a := linkedNode{"@type": "Answer", "text": AnswerText(rd, n), "url": rd.Address(address.Question(n))}
	if by := author(rd); by != nil {
		a["author"] = by
	}
	at := &frame.Sheet{Path: address.Question(n)}
	if d, _ := rd.LastChanged(at, n); d != nil {
		a["dateModified"] = d.ISO
	}
	return a
}

// LinkedQuestion is a question with its answer.
func LinkedQuestion(rd *reading.Reader, n *journal.NotePage) template.JS {
	q := linkedNode{"@type": "Question", "name": n.Title.Text, "text": n.Title.Text, "answerCount": 1, "url": rd.Address(address.Question(n))}
	if len(n.Question.Asked) > 0 {
		var also []string
		for _, w := range n.Question.Asked {
			also = append(also, w.Text)
		}
		q["alternateName"] = also
	}
	if d := frame.DayOf(n.Date); d != nil {
		q["dateCreated"] = d.ISO
	}
	if by := author(rd); by != nil {
		q["author"] = by
	}
	key := "acceptedAnswer"
	if len(n.Question.Runs) == 0 { // nobody has measured it
		key = "suggestedAnswer"
	}
	q[key] = linkedAnswer(rd, n)
	return linked(linkedNode{"@type": "QAPage", "mainEntity": q, "inLanguage": rd.Language})
}

// LinkedQuestions is the list of questions with their answers.
func LinkedQuestions(rd *reading.Reader) template.JS {
	all := []linkedNode{}
	for _, n := range rd.Journal.Questions {
		all = append(all, linkedNode{"@type": "Question", "name": n.Title.Text, "acceptedAnswer": linkedAnswer(rd, n)})
	}
	return linked(linkedNode{"@type": "FAQPage", "mainEntity": all, "inLanguage": rd.Language, "url": rd.Address(address.Questions)})
}

// Said is a question with its answer as text, at a place of a page.
type Said struct {
	Question, Words, Anchor string
	Known                   bool // it is not a list of what is missing
}

// Answers is a page of questions with their answers, each at its own address.
func Answers(rd *reading.Reader, s *frame.Sheet, said []Said) template.JS {
	all := []linkedNode{}
	for _, q := range said {
		key := "acceptedAnswer"
		if !q.Known {
			key = "suggestedAnswer"
		}
		at := rd.Address(s.Path) + "#" + q.Anchor
		all = append(all, linkedNode{"@type": "Question", "name": q.Question, "url": at, key: linkedNode{"@type": "Answer", "text": q.Words, "url": at}})
	}
	return linked(linkedNode{"@type": "FAQPage", "mainEntity": all, "inLanguage": rd.Language, "url": rd.Address(s.Path)})
}

// LinkedRun is a run as a data set: what was measured, and the files beside its page that hold it.
func LinkedRun(rd *reading.Reader, s *frame.Sheet, r *journal.Run) template.JS {
	d := linkedNode{"@type": "Dataset", "name": s.Title, "url": rd.Address(s.Path), "inLanguage": rd.Language, "isAccessibleForFree": true,
		"description": reading.RunWords(r) + ", of " + r.Version.Vehicle.Name.Text + ", " + numeral.MidSentence(reading.VersionWords(r.Version)) + ". " + r.Summary.Text}
	if by := author(rd); by != nil {
		d["creator"] = by
	}
	if day := frame.DayOf(r.Date); day != nil {
		d["temporalCoverage"] = day.ISO
	}
	if rd.Journal.Licence.Set {
		d["license"] = linkedNode{"@type": "CreativeWork", "name": rd.Journal.Licence.Text}
	}
	var files, measured []linkedNode
	file := func(at, form, what string) {
		files = append(files, linkedNode{"@type": "DataDownload", "contentUrl": rd.Journal.Addressed(address.Escape(at)), "encodingFormat": form, "name": what})
	}
	if r.Log != nil && r.Log.Path != "" && rd.LogOf[r.Log.Path] != "" {
		file(rd.LogOf[r.Log.Path], "text/csv", "the log")
	}
	file(path.Dir(s.Path)+"/"+address.ResultsFile, "application/json", "the results, with standard uncertainties")
	d["distribution"] = files
	for _, i := range r.Instruments {
		if i.Measures.Set {
			measured = append(measured, linkedNode{"@type": "PropertyValue", "name": string(i.Measures.Value), "measurementTechnique": i.Name.Text})
		}
	}
	if len(measured) > 0 {
		d["variableMeasured"] = measured
	}
	if list := corrections(rd, s); len(list) > 0 {
		var all []linkedNode
		for _, n := range list {
			all = append(all, correctionNode(rd, n))
		}
		d["correction"] = all
	}
	return linked(d)
}

// corrections are those that concern a page.
func corrections(rd *reading.Reader, s *frame.Sheet) []*journal.NotePage {
	at, ok := rd.Journal.PlaceOf(s.Note)
	if !ok || s.Note == "" || s.Note == notes.JournalFile {
		return nil
	}
	return rd.Journal.CorrectionsOf(at)
}

// LinkedCorrection is a correction on its own page.
func LinkedCorrection(rd *reading.Reader, n *journal.NotePage) template.JS {
	c := correctionNode(rd, n)
	var about []linkedNode
	for _, p := range n.Correction.Places() {
		about = append(about, linkedNode{"@type": "WebPage", "url": rd.Journal.Addressed(p.Address())})
	}
	if len(about) > 0 {
		c["about"] = about
	}
	return linked(c)
}

func correctionNode(rd *reading.Reader, n *journal.NotePage) linkedNode {
	c := linkedNode{"@type": "CorrectionComment", "headline": n.Title.Text, "text": numeral.OnPage(rd.PlainOpening(n)), "url": rd.Address(address.Correction(n)), "inLanguage": rd.Language}
	if d := frame.DayOf(n.Date); d != nil {
		c["datePublished"] = d.ISO
	}
	if by := author(rd); by != nil {
		c["author"] = by
	}
	return c
}

// linkedCorrected is a page with the corrections that concern it.
func linkedCorrected(rd *reading.Reader, s *frame.Sheet, list []*journal.NotePage) template.JS {
	var all []linkedNode
	for _, n := range list {
		all = append(all, correctionNode(rd, n))
	}
	page := linkedNode{"@type": "WebPage", "name": s.Title, "url": rd.Address(s.Path), "inLanguage": rd.Language}
	return linked(page.with("correction", all))
}

func (n linkedNode) with(key string, value any) linkedNode {
	n[key] = value
	return n
}

// Corrected lists the corrections that concern a page.
func Corrected(rd *reading.Reader, s *frame.Sheet) []frame.CorrectedLine {
	at, ok := rd.Journal.PlaceOf(s.Note)
	if !ok || s.Note == "" || s.Note == notes.JournalFile {
		return nil
	}
	list := rd.Journal.CorrectionsOf(at)
	if len(list) == 0 {
		return nil
	}
	var out []frame.CorrectedLine
	for _, n := range list {
		line := frame.CorrectedLine{Correction: frame.Link{Words: n.Title.Text, Href: s.To(address.Correction(n))}, Date: frame.DayOf(n.Date), Matters: n.Correction.MattersForSafety.Value}
		for i := range n.Correction.Said.List {
			if said := &n.Correction.Said.List[i]; said.Place == at && len(said.Spans()) > 0 && line.Here == "" {
				line.Here = address.TakenBackAnchor(n, said)
			}
		}
		for i := range n.Correction.Moved {
			if m := &n.Correction.Moved[i]; at.Version != nil && m.Of.Version == at.Version && at.Run == nil && line.Here == "" {
				line.Here = address.MovedAnchor(n, m)
			}
		}
		out = append(out, line)
	}
	if s.Linked == "" {
		s.Linked = linkedCorrected(rd, s, list)
	}
	return out
}
