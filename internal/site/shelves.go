package site

import "voltwright/internal/journal"

// planNotes plans what stands beside the vehicles: notes, questions with their run sheets, corrections, and the lists of
// the last two.
func (b *builder) planNotes() {
	j := b.in.Journal
	b.planShelf("note", "notes", "", j.Notes, "Newer", "Older", b.note)
	if len(j.Questions) > 0 {
		b.add("questions", questionsPage, nil, "Questions", []link{{Words: "Questions", Href: questionsPage}}, b.questionIndex)
		b.planShelf("question", "questions", "Questions", j.Questions, "Question before", "Next question", b.question)
		for _, n := range j.Questions {
			if sheetWanted(n.Question) {
				at := runSheetPage(n)
				b.add("run-sheet", at, nil, "Run sheet: "+n.Title.Text, []link{{Words: "Questions", Href: questionsPage}, {Words: n.Title.Text, Href: questionPage(n)}, {Words: "Run sheet", Href: at}},
					func(s *sheet) error { return b.runSheet(s, n) })
			}
		}
	}
	if len(j.Corrections) > 0 {
		b.add("corrections", correctionsPage, nil, "Corrections", []link{{Words: "Corrections", Href: correctionsPage}}, b.correctionIndex)
		b.planShelf("correction", "corrections", "Corrections", j.Corrections, "Newer", "Older", b.correction)
	}
}

// planShelf plans the pages of one folder in their order; before and after are what the page one up and one down the
// list is called.
func (b *builder) planShelf(kind, folder, list string, pages []*journal.NotePage, up, down string, fill func(*sheet, *journal.NotePage) error) {
	at := func(k int) string { return folder + "/" + pages[k].Slug + "/index.html" }
	for i, n := range pages {
		trail := []link{{Words: n.Title.Text, Href: at(i)}}
		if list != "" {
			trail = append([]link{{Words: list, Href: folder + "/index.html"}}, trail...)
		}
		s := b.add(kind, at(i), n.Note, n.Title.Text, trail, func(s *sheet) error { return fill(s, n) })
		var above, below *link
		if i > 0 {
			above = &link{Words: pages[i-1].Title.Text, Href: s.to(at(i - 1)), Note: up}
		}
		if i+1 < len(pages) {
			below = &link{Words: pages[i+1].Title.Text, Href: s.to(at(i + 1)), Note: down}
		}
		if s.Before, s.After = above, below; kind != "question" { // they stand newest first
			s.Before, s.After = below, above
		}
	}
}

// lists leads to the lists that the journal has.
func (b *builder) lists(s *sheet) []link {
	var out []link
	if len(b.in.Journal.Questions) > 0 {
		out = append(out, link{Words: "Questions", Href: s.to(questionsPage)})
	}
	if len(b.in.Journal.Corrections) > 0 {
		out = append(out, link{Words: "Corrections", Href: s.to(correctionsPage)})
	}
	return out
}
