package reading

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
	"voltwright/internal/site/frame"
)

// plainFile publishes a linked table or text: as a log where it is one, else as it reads unless something in it looks as if
// it told of the maker.
func (rd *Reader) plainFile(a journal.Attachment, form outgoing.Form) string {
	if form == outgoing.Table {
		if rd.publishLog(a.Path, writtenAnew{steps: rd.Steps, from: a.Path, options: runlog.NewOptions()}) == "" {
			return a.Path
		}
	}
	data, err := rd.readAll(a.Path)
	if err == nil && form == outgoing.Table {
		data, err = outgoing.CleanTable(data)
	}
	if err == nil {
		if line, what := outgoing.Betrays(data); line > 0 {
			err = fmt.Errorf("line %d looks to hold %s", line, what)
		}
	}
	if err != nil {
		rd.stays(a.Path, finding.Finding{Rule: frame.RuleTellingFile, Level: finding.Warning, Span: a.From,
			Text:   fmt.Sprintf("%s stays in the journal, and the page says so: %v", path.Base(a.Path), err),
			Remedy: "take that out of a copy, and link to the copy."})
		return ""
	}
	if rd.Pages.Put(a.Path, data) != nil {
		return ""
	}
	rd.Pages.GoesOut(a.Path, a.Path, nil)
	return a.Path
}

func (rd *Reader) readAll(from string) ([]byte, error) {
	r, err := rd.Open(from)
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
