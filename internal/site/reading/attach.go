package reading

import (
	"errors"
	"fmt"
	"io"
	"path"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/outgoing"
	"voltwright/internal/site/frame"
)

// The rules of findings about files that a page links to and that stay in the journal.
const (
	RuleActiveFile = "file-active"
	RuleSealedFile = "file-sealed"
)

// Attach puts a file of the journal on the site where a page links to it, in a form that can be cleaned of what nobody asked to
// publish. False: the journal does not offer it, or it stays where it is and a finding says why.
func (rd *Reader) Attach(from string) (target string, ok bool) {
	rd.apart(asked{Path: from}, func() bool {
		target, ok = rd.attach(from)
		return ok
	})
	return target, ok
}

func (rd *Reader) attach(from string) (string, bool) {
	if target, ok := rd.LogOf[from]; ok {
		return target, target != ""
	}
	if target, ok := rd.Attached[from]; ok {
		return target, target != ""
	}
	for _, a := range rd.Journal.Used {
		if a.Path == from {
			rd.Attached[from] = rd.attachment(a)
			return rd.Attached[from], rd.Attached[from] != ""
		}
	}
	return "", false
}

// attachment is where a linked file stands on the site, "" where it does not.
func (rd *Reader) attachment(a journal.Attachment) string {
	form, err := rd.formOf(a.Path)
	stays := finding.Finding{Level: finding.Warning, Span: a.From}
	switch {
	case err != nil:
		stays.Rule, stays.Level = RuleSealedFile, finding.Error
		stays.Text = fmt.Sprintf("%s cannot be read: %v", path.Base(a.Path), err)
		stays.Remedy = "see whether you may read the file, and whether the disk is sound."
	case form == outgoing.Picture: // a link to a photo publishes no more of it than showing it does
		p, _ := rd.Picture(a.Path, a.From)
		return p.Target
	case form == outgoing.Table, form == outgoing.Text:
		return rd.plainFile(a, form)
	case form == outgoing.Active:
		stays.Rule = RuleActiveFile
		stays.Text = fmt.Sprintf("%s is active: a browser would run what is in it, or show it as a page of this site; it stays in the journal, and the page says so", path.Base(a.Path))
		stays.Remedy = "say in the note what it shows; a drawing as PNG, a table as CSV, text as .txt can be linked."
	default:
		stays.Rule = RuleSealedFile
		stays.Text = fmt.Sprintf("%s is in a form that cannot be cleaned of what else it may hold, such as where and by whom it was made; it stays in the journal, and the page says so", path.Base(a.Path))
		stays.Remedy = "link to it where its maker offers it, or keep its pages as PNG or JPEG, its table as CSV, its text as .txt."
	}
	rd.stays(a.Path, stays)
	return ""
}

func (rd *Reader) formOf(from string) (outgoing.Form, error) {
	r, err := rd.Open(from)
	if err != nil {
		return "", err
	}
	head, err := io.ReadAll(io.LimitReader(r, outgoing.HeadSize))
	if err := errors.Join(err, r.Close()); err != nil {
		return "", err
	}
	return outgoing.FormOf(from, head), nil
}

// AttachDocs explains the rules about linked files.
var AttachDocs = []finding.Doc{
	{Kind: finding.RuleDoc, Name: RuleActiveFile, Level: finding.Warning, Title: "A linked file that a browser would run",
		What:    "Looks at the name and the first bytes of each file that a note links to: pages, drawings in SVG, scripts, style sheets and programs are not put on the site.",
		Why:     "What a browser opens from the site's address acts in the site's name: it can change pages, and load from elsewhere what the policy of the pages forbids. A journal may come from somebody else.",
		Example: "  [the panel](panel.svg)"},
	{Kind: finding.RuleDoc, Name: RuleSealedFile, Level: finding.Warning, Title: "A file that cannot be cleaned",
		What: "Looks at the name and the first bytes of each file that a note links to. JPEG, PNG, GIF and WebP go online as their pixels alone; a table that is a log without what nobody measures with, any other and plain text as they read where nothing in them looks like a position, a serial number, a name or a path; no other form does. A run's log goes as it is written anew; one that would then be read in another way stays, too.",
		Why: "Documents, archives, films, drawings and the newer forms of photos can hold the place where they were made, the name of whoever made them, or the number of their device, in places that this program does not know; " +
			"what it cannot clean it does not publish.",
		Example: "  [the sheet](controller.pdf)"},
	{Kind: finding.RuleDoc, Name: frame.RuleTellingFile, Level: finding.Warning, Title: "A linked table or text that tells of its maker",
		What:    "Looks through each linked text, and each linked table that is no log, for positions (pairs of degrees, geo: addresses, links to maps, NMEA sentences, heads of columns that say latitude), labels of serial numbers and user names, paths of a machine and addresses of mail. A table that cannot be read does not go either.",
		Why:     "A text may hold anything. That nothing was found proves nothing; what was found stays in the journal.",
		Example: "  [the settings](settings.txt)"},
}
