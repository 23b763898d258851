package reading

import (
	"errors"
	"fmt"
	"io"
	"path"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/outgoing"
	"voltwright/internal/site/frame"
)

// RulePicture is the rule of findings about pictures that cannot be shown.
const RulePicture = "unreadable-picture"

// Picture is a picture of the journal as it stands on the site.
type Picture struct {
	Target        string
	Width, Height int
}

// Picture puts a picture on the site, its pixels and nothing else of it. False: it cannot be shown, and a finding says why.
func (rd *Reader) Picture(from string, asked finding.Span) (Picture, bool) {
	if p, ok := rd.Pictures[from]; ok {
		return p, p.Target != ""
	}
	p, clean, err := rd.encodePicture(from)
	if err == nil {
		err = rd.Pages.Put(p.Target, clean.Data)
		rd.Pages.GoesOut(from, p.Target, append(clean.Removed, frame.PictureRest))
	}
	if err != nil {
		p = Picture{}
		rd.stays(from, finding.Finding{Rule: RulePicture, Level: finding.Error, Span: asked,
			Text:   fmt.Sprintf("the picture %s cannot be shown: %v", from, err),
			Remedy: "save it as JPEG or PNG under the same name, or take it out."})
	}
	rd.Pictures[from] = p
	return p, p.Target != ""
}

func (rd *Reader) encodePicture(from string) (Picture, outgoing.Cleaned, error) {
	r, err := rd.Open(from)
	if err != nil {
		return Picture{}, outgoing.Cleaned{}, err
	}
	data, err := io.ReadAll(r)
	if err := errors.Join(err, r.Close()); err != nil {
		return Picture{}, outgoing.Cleaned{}, err
	}
	clean, err := outgoing.CleanPicture(data)
	if err != nil {
		return Picture{}, outgoing.Cleaned{}, err
	}
	return Picture{Target: strings.TrimSuffix(from, path.Ext(from)) + clean.Ending, Width: clean.Width, Height: clean.Height}, clean, nil
}
