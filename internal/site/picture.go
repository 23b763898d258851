package site

import (
	"errors"
	"fmt"
	"io"
	"path"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/outgoing"
)

// RulePicture is the rule of findings about pictures that cannot be shown.
const RulePicture = "unreadable-picture"

// picture is a picture of the journal as it stands on the site.
type picture struct {
	target        string
	width, height int
}

// picture puts a picture on the site, its pixels and nothing else of it. False: it cannot be shown, and a finding says why.
func (b *builder) picture(from string, asked finding.Span) (picture, bool) {
	if p, ok := b.pictures[from]; ok {
		return p, p.target != ""
	}
	p, clean, err := b.encodePicture(from)
	if err == nil {
		err = b.pages.put(p.target, clean.Data)
		b.pages.went(from, p.target, append(clean.Removed, pictureRest))
	}
	if err != nil {
		p = picture{}
		b.stays(from, finding.Finding{Rule: RulePicture, Level: finding.Error, Span: asked,
			Text:   fmt.Sprintf("the picture %s cannot be shown: %v", from, err),
			Remedy: "save it as JPEG or PNG under the same name, or take it out."})
	}
	b.pictures[from] = p
	return p, p.target != ""
}

func (b *builder) encodePicture(from string) (picture, outgoing.Cleaned, error) {
	r, err := b.in.Open(from)
	if err != nil {
		return picture{}, outgoing.Cleaned{}, err
	}
	data, err := io.ReadAll(r)
	if err := errors.Join(err, r.Close()); err != nil {
		return picture{}, outgoing.Cleaned{}, err
	}
	clean, err := outgoing.CleanPicture(data)
	if err != nil {
		return picture{}, outgoing.Cleaned{}, err
	}
	return picture{target: strings.TrimSuffix(from, path.Ext(from)) + clean.Ending, width: clean.Width, height: clean.Height}, clean, nil
}
