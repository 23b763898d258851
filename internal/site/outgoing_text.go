package site

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"path"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/outgoing"
	"voltwright/internal/runlog"
)

// RuleTellingFile is the rule of findings about tables and texts that tell of their maker.
const RuleTellingFile = "file-telling"

// plainFile publishes a linked table or text: as a log where it is one, else as it reads unless something in it looks as if
// it told of the maker.
func (b *builder) plainFile(a journal.Attachment, form outgoing.Form) string {
	if form == outgoing.Table {
		if b.publishLog(a.Path, writtenAnew{steps: b.in.Steps, from: a.Path, options: runlog.NewOptions()}) == "" {
			return a.Path
		}
	}
	data, err := b.readAll(a.Path)
	if err == nil && form == outgoing.Table {
		data, err = outgoing.CleanTable(data)
	}
	if err == nil {
		if line, what := outgoing.Betrays(data); line > 0 {
			err = fmt.Errorf("line %d looks to hold %s", line, what)
		}
	}
	if err != nil {
		b.stays(a.Path, finding.Finding{Rule: RuleTellingFile, Level: finding.Warning, Span: a.From,
			Text:   fmt.Sprintf("%s stays in the journal, and the page says so: %v", path.Base(a.Path), err),
			Remedy: "take that out of a copy, and link to the copy."})
		return ""
	}
	if b.pages.put(a.Path, data) != nil {
		return ""
	}
	b.pages.went(a.Path, a.Path, nil)
	return a.Path
}

func (b *builder) readAll(from string) ([]byte, error) {
	r, err := b.in.Open(from)
	if err != nil {
		return nil, err
	}
	var data bytes.Buffer
	_, err = io.Copy(&data, io.LimitReader(r, outgoing.TextMost+1))
	if err := errors.Join(err, r.Close()); err != nil {
		return nil, err
	}
	if data.Len() > outgoing.TextMost {
		return nil, fmt.Errorf("it is larger than %d MiB", outgoing.TextMost>>20)
	}
	return data.Bytes(), nil
}
