package site

import (
	"encoding/json"
	"html/template"
	"path"

	"voltwright/internal/journal"
)

// Linked data in the terms of schema.org, as JSON-LD in a data block: a block that is no script is not run, and the
// policy of the pages has nothing to say of it.

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

func (b *builder) author() any {
	if !b.in.Journal.Maker.Name.Set {
		return nil
	}
	return linkedNode{"@type": "Organization", "name": b.in.Journal.Maker.Name.Text}
}

// address is the whole address of a page; its path on the site where the journal states none.
func (b *builder) address(page string) string {
	folder := path.Dir(page) + "/"
	if folder == "./" {
		folder = ""
	}
	return b.in.Journal.Addressed(folder)
}

// answerText is a question's answer as one text: the short answer, before it that nothing is measured where that is so.
func (b *builder) answerText(n *journal.NotePage) string {
	text := onPage(b.plainOpening(n))
	if len(n.Question.Runs) == 0 {
		text = "Not measured yet. " + text
	}
	return text
}

func (b *builder) linkedAnswer(n *journal.NotePage) linkedNode {
	a := linkedNode{"@type": "Answer", "text": b.answerText(n), "url": b.address(questionPage(n))}
	if by := b.author(); by != nil {
		a["author"] = by
	}
	at := &sheet{path: questionPage(n)}
	if d, _ := b.lastChanged(at, n); d != nil {
		a["dateModified"] = d.ISO
	}
	return a
}

func (b *builder) linkedQuestion(n *journal.NotePage) template.JS {
	q := linkedNode{"@type": "Question", "name": n.Title.Text, "text": n.Title.Text, "answerCount": 1, "url": b.address(questionPage(n))}
	if len(n.Question.Asked) > 0 {
		var also []string
		for _, w := range n.Question.Asked {
			also = append(also, w.Text)
		}
		q["alternateName"] = also
	}
	if d := dayOf(n.Date); d != nil {
		q["dateCreated"] = d.ISO
	}
	if by := b.author(); by != nil {
		q["author"] = by
	}
	key := "acceptedAnswer"
	if len(n.Question.Runs) == 0 { // nobody has measured it
		key = "suggestedAnswer"
	}
	q[key] = b.linkedAnswer(n)
	return linked(linkedNode{"@type": "QAPage", "mainEntity": q, "inLanguage": b.language})
}

func (b *builder) linkedQuestions() template.JS {
	all := []linkedNode{}
	for _, n := range b.in.Journal.Questions {
		all = append(all, linkedNode{"@type": "Question", "name": n.Title.Text, "acceptedAnswer": b.linkedAnswer(n)})
	}
	return linked(linkedNode{"@type": "FAQPage", "mainEntity": all, "inLanguage": b.language, "url": b.address(questionsPage)})
}

// linkedCorrection is a correction on its own page.
func (b *builder) linkedCorrection(n *journal.NotePage) template.JS {
	c := b.correctionNode(n)
	var about []linkedNode
	for _, p := range n.Correction.Places() {
		about = append(about, linkedNode{"@type": "WebPage", "url": b.in.Journal.Addressed(p.Address())})
	}
	if len(about) > 0 {
		c["about"] = about
	}
	return linked(c)
}

func (b *builder) correctionNode(n *journal.NotePage) linkedNode {
	c := linkedNode{"@type": "CorrectionComment", "headline": n.Title.Text, "text": onPage(b.plainOpening(n)), "url": b.address(correctionPage(n)), "inLanguage": b.language}
	if d := dayOf(n.Date); d != nil {
		c["datePublished"] = d.ISO
	}
	if by := b.author(); by != nil {
		c["author"] = by
	}
	return c
}

// linkedCorrected is a page with the corrections that concern it.
func (b *builder) linkedCorrected(s *sheet, list []*journal.NotePage) template.JS {
	var all []linkedNode
	for _, n := range list {
		all = append(all, b.correctionNode(n))
	}
	page := linkedNode{"@type": "WebPage", "name": s.Title, "url": b.address(s.path), "inLanguage": b.language}
	return linked(page.with("correction", all))
}

func (n linkedNode) with(key string, value any) linkedNode {
	n[key] = value
	return n
}
