package app

import (
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"voltwright/internal/evidence"
	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/predict"
	"voltwright/internal/quantity"
	"voltwright/internal/safety"
	"voltwright/internal/value"
)

// replyWords are the lengths of a reply that can be asked for.
var replyWords = []string{strconv.Itoa(evidence.SentenceWords), strconv.Itoa(evidence.ParagraphWords)}

func newReply() *cobra.Command {
	words, dir := strconv.Itoa(evidence.ParagraphWords), defaultJournal
	var kept func() means
	c := &cobra.Command{
		Use:   "reply QUESTION [options]",
		Short: "Give a question's answer as plain text with its link, to paste under a comment",
		Long: `Reply prints the answer to a question of the journal in whole sentences, at most 60
words of them or at most 20, with its numbers and the link to its page. Below it stand
every DANGER that concerns the answer, the WARNING that bears on it most, if one does, and
the way to the others; they are not counted, and in the short reply they have their title. Where an answer's evidence has
an error, or a number of it no longer agrees with the data, nothing is said and the
reason is printed.
QUESTION is the name of its file, without questions/ and .md.`,
		Example: "  voltwright reply how-long-does-the-shunter-run\n  voltwright reply does-it-hurt-the-packs --words 20",
		Args:    atMostOne("question"),
		RunE: func(c *cobra.Command, args []string) error {
			if err := oneOf("words", words, replyWords...); err != nil {
				return err
			}
			most, err := strconv.Atoi(words)
			if err != nil {
				return usage("--words: %v", err)
			}
			return reply(c.OutOrStdout(), c.ErrOrStderr(), kept(), dir, strings.Join(args, ""), most)
		},
		ValidArgsFunction: func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
			if len(args) > 0 {
				return nil, cobra.ShellCompDirectiveNoFileComp
			}
			return questionsOf(dir), cobra.ShellCompDirectiveNoFileComp
		},
	}
	c.Flags().StringVar(&words, "words", words, "`NUMBER` of words at most: 20 or 60")
	c.Flags().StringVar(&dir, "journal", dir, "`FOLDER` of the journal")
	kept = keeping(c)
	_ = c.MarkFlagDirname("journal")
	_ = c.RegisterFlagCompletionFunc("words", cobra.FixedCompletions(replyWords, cobra.ShellCompDirectiveNoFileComp))
	return c
}

func reply(stdout, stderr io.Writer, m means, dir, name string, most int) error {
	in, err := readJournalOnline(dir, m)
	if err != nil {
		return err
	}
	defer in.close()
	if note, held := in.held.Named(name); held {
		return usage("%s is held back, and its link leads nowhere: take `held-back` out of it first", note)
	}
	n, err := questionNamed(in.journal, name)
	if err != nil {
		return err
	}
	judge(in)
	in.sayHeld()
	if wrong := against(in, n); len(wrong) > 0 {
		if err := finding.PrintLines(stderr, wrong); err != nil {
			return unreached(err)
		}
		fmt.Fprintf(stderr, "No reply: what the answer says or rests on has %s.\n", count(len(wrong), "error"))
		return foundErrors
	}
	text, why := shortened(in, n, most)
	if why != "" {
		fmt.Fprintf(stderr, "No reply: %s\n", why)
		return foundErrors
	}
	lines := append([]string{text}, warnings(in, n, most)...)
	lines = append(lines, in.journal.Addressed(journal.Place{Page: n}.Address()))
	if _, err := fmt.Fprintln(stdout, strings.Join(lines, "\n")); err != nil {
		return unreached(err)
	}
	if !in.journal.Address.Set {
		fmt.Fprintln(stderr, "The link is only a path: journal.yaml states no `address:`.")
	}
	return nil
}

func questionNamed(j *journal.Journal, name string) (*journal.NotePage, error) {
	slug := strings.TrimSuffix(strings.TrimPrefix(strings.Trim(name, "/"), "questions/"), ".md")
	var known []string
	for _, n := range j.Questions {
		if n.Slug == slug && slug != "" {
			return n, nil
		}
		known = append(known, n.Slug)
	}
	switch {
	case len(known) == 0:
		return nil, usage("the journal has no questions; write one under questions/")
	case name == "":
		return nil, usage("reply needs a question: one of %s", strings.Join(known, ", "))
	}
	return nil, usage("there is no question `%s`%s; there are %s", name, didYouMean(slug, known), strings.Join(known, ", "))
}

// against are the errors that stand against an answer: in its own note, and in what bears on it.
func against(in *inspected, n *journal.NotePage) []finding.Finding {
	files := append(n.Question.Files(), n.Note.Path)
	var out []finding.Finding
	for _, f := range in.findings.Sorted() {
		if f.Level == finding.Error && slices.Contains(files, f.Span.File()) {
			out = append(out, f)
		}
	}
	return out
}

// shortened is as much of the answer as has at most so many words, in whole sentences; or why there is none.
func shortened(in *inspected, n *journal.NotePage, most int) (text, why string) {
	answer, whole := in.values.Opening(journal.Place{Page: n})
	var said []string
	if q := n.Question; len(q.Runs) == 0 {
		first, others, checked := "Not measured yet.", "", ""
		if v := q.Predicted.Version; v != nil {
			predicted, broken := in.values.Find(v.Place(), q.Predicted.Name)
			if broken != nil || !predicted.Known() {
				return "", "it is not measured yet, and what is predicted for it could not be computed."
			}
			first = "Not measured yet; computed: " + predicted.Words() + "."
			if cell, ok := in.results.Prediction(v.Path()).RunTime(q.Predicted.Name); ok {
				first = "Not measured yet; computed: running time " + bounded(predicted) + "."
				a := in.results.Prediction(v.Path())
				others = otherMeasures(a.Table.Loads[cell.Load].Others(cell.End()))
				checked = "It is not checked: no run came down to " + a.Table.EndsBy + "."
				if all := a.ChecksAt(a.EndsAt()); len(all) > 0 {
					checked = predict.SummedUp(all)
					if one := strings.TrimSuffix(first, ".") + ", " + checked + "."; evidence.Words(one) <= most {
						first, checked = one, ""
					} else {
						checked = finding.Sentence(checked)
					}
				}
			}
		}
		said = append(said, first)
		if others != "" {
			said = append(said, others)
		}
		if checked != "" {
			said = append(said, checked)
		}
	}
	switch {
	case !whole:
		return "", "a number of the answer has no value."
	case n.Document().HasTakenBack(n.Document().Opening()):
		return "", "a correction took words of the answer back. Write the answer anew."
	}
	said = append(said, notes.Sentences(answer)...)
	if len(said) == 0 {
		return "", "the question has no answer: its text does not begin with a paragraph."
	}
	for i, s := range said {
		longer := strings.TrimSpace(text + " " + s)
		if evidence.Words(longer) <= most {
			text = longer
			continue
		}
		if i == 0 {
			return "", fmt.Sprintf("its first sentence has %d words, more than %d, and is not cut short.", evidence.Words(s), most)
		}
		break
	}
	return text, ""
}

// bounded is a time with its bounds.
func bounded(v value.Value) string {
	q, ok := v.Quantity.Get()
	if !ok {
		return v.Words()
	}
	t, err := quantity.As[quantity.Seconds](q)
	if err != nil {
		return v.Words()
	}
	return predict.BoundedTime(t)
}

// otherMeasures says a time by its other measures: "That is 2 h under load and 9 h on the clock."; "" where it has none.
func otherMeasures(measures []predict.Measure) string {
	var out []string
	for _, m := range measures {
		out = append(out, predict.TimeWords(m.Time)+" "+m.Short)
	}
	if len(out) == 0 {
		return ""
	}
	return "That is " + strings.Join(out, " and ") + "."
}

// warnings are the callouts that concern an answer: every DANGER, and the one WARNING that bears on it most. The other WARNINGs are
// counted, with the way to them. In a short reply they have their rule's title.
func warnings(in *inspected, n *journal.NotePage, most int) []string {
	found := inOrderOf(restsOn(in, n), in.findings.Sorted())
	var out []string
	add := func(signal finding.Signal, text string) {
		line := string(signal) + ": " + finding.Sentence(text)
		if !slices.Contains(out, line) {
			out = append(out, line)
		}
	}
	for _, f := range found {
		if f.Signal == finding.Danger {
			add(f.Signal, calloutWords(in, f, most))
		}
	}
	found = slices.DeleteFunc(found, func(f finding.Finding) bool { return f.Signal != finding.SignalWarning })
	corrections := slices.DeleteFunc(slices.Clone(in.journal.CorrectionsOf(journal.Place{Page: n})), func(c *journal.NotePage) bool { return !c.Correction.MattersForSafety.Value })
	said, bears := mostBearing(in, n, found)
	switch past := bears && supersededPlace(in, found[said]); {
	case bears && (!past || len(corrections) == 0):
		add(finding.SignalWarning, calloutWords(in, found[said], most))
		found = slices.Delete(found, said, said+1)
	case len(corrections) > 0:
		text := corrections[0].Title.Text
		if so, _ := in.values.Opening(journal.Place{Page: corrections[0]}); most >= evidence.ParagraphWords && so != "" {
			text = so
		}
		add(finding.SignalWarning, text)
		corrections, bears = corrections[1:], true
	}
	return append(out, theRest(in, found, corrections, bears)...)
}

// restsOn are the files of what an answer rests on: its own, its runs, then the versions.
func restsOn(in *inspected, n *journal.NotePage) []string {
	files := []string{n.Note.Path}
	for _, ofRun := range []bool{true, false} {
		for _, file := range n.Question.Files() {
			if place, ok := in.journal.PlaceOf(file); (ok && place.Run != nil) == ofRun {
				files = append(files, file)
			}
		}
	}
	return files
}

// mostBearing is the WARNING that bears on an answer most: the first by what the answer is about, of versions that no other follows before
// those of others; false where none bears on it.
func mostBearing(in *inspected, n *journal.NotePage, found []finding.Finding) (int, bool) {
	topics := safety.TopicsOf(n)
	for _, past := range []bool{false, true} {
		for i, f := range found {
			if safety.BearsOn(f.Rule, topics) && supersededPlace(in, f) == past {
				return i, true
			}
		}
	}
	return 0, false
}

// supersededPlace tells whether a finding is of a version that another one follows.
func supersededPlace(in *inspected, f finding.Finding) bool {
	place, ok := in.journal.PlaceOf(f.Span.File())
	return ok && place.Version != nil && place.Version.Superseded()
}

// calloutWords are a callout in a reply: of which version, what is so and what to do; in a short one, its rule's title.
func calloutWords(in *inspected, f finding.Finding, most int) string {
	if most < evidence.ParagraphWords {
		for _, d := range docs() {
			if d.Kind == finding.RuleDoc && d.Name == f.Rule {
				return d.Title
			}
		}
	}
	text := f.Text
	if place, ok := in.journal.PlaceOf(f.Span.File()); ok && place.Version != nil {
		text = fmt.Sprintf("%s, version %d: %s", place.Vehicle.Name.Text, place.Version.Number, text)
	}
	return strings.TrimSpace(finding.Sentence(text) + " " + finding.Sentence(f.Remedy))
}

// theRest counts the WARNINGs that are not said, with the way to each of their pages; more: one is said.
func theRest(in *inspected, found []finding.Finding, corrections []*journal.NotePage, more bool) (out []string) {
	var ways []string
	left := map[string]int{}
	countAt := func(way string) {
		if left[way]++; left[way] == 1 {
			ways = append(ways, way)
		}
	}
	for _, f := range found {
		if place, ok := in.journal.PlaceOf(f.Span.File()); ok {
			countAt(in.journal.Addressed(place.Address()))
		}
	}
	for _, c := range corrections {
		countAt(in.journal.Addressed(journal.Place{Page: c}.Address()))
	}
	for _, way := range ways {
		what := count(left[way], "WARNING") + " on other matters"
		if more {
			what = count(left[way], "more WARNING")
		}
		out = append(out, what+": "+way)
	}
	return out
}

// inOrderOf are the findings of some files, file after file.
func inOrderOf(files []string, all []finding.Finding) []finding.Finding {
	var out []finding.Finding
	for i, file := range files {
		if slices.Index(files, file) < i {
			continue
		}
		for _, f := range all {
			if f.Span.File() == file {
				out = append(out, f)
			}
		}
	}
	return out
}
