package reading

import (
	"crypto/sha256"
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
func (rd *Reader) Picture(from string, at finding.Span) (p Picture, ok bool) {
	rd.apart(asked{Path: from, Picture: true}, func() bool {
		p, ok = rd.picture(from, at)
		return ok
	})
	return p, ok
}

func (rd *Reader) picture(from string, at finding.Span) (Picture, bool) {
	if p, ok := rd.Pictures[from]; ok {
		return p, p.Target != ""
	}
	p, err := rd.putPicture(from)
	if err != nil {
		p = Picture{}
		rd.stays(from, finding.Finding{Rule: RulePicture, Level: finding.Error, Span: at,
			Text:   fmt.Sprintf("the picture %s cannot be shown: %v", from, err),
			Remedy: "save it as JPEG or PNG under the same name, or take it out."})
	}
	rd.Pictures[from] = p
	return p, p.Target != ""
}

// keptPicture is a picture as it went on the site from the same bytes.
type keptPicture struct {
	Picture
	Removed []string
	Sum     [sha256.Size]byte
}

// putPicture puts a picture on the site, as it was encoded before where that is kept.
func (rd *Reader) putPicture(from string) (Picture, error) {
	var was keptPicture
	of := []any{from}
	if rd.keeper != nil {
		sum, err := rd.Steps.Sum(from)
		if err != nil {
			return Picture{}, err
		}
		of = append(of, sum)
		if rd.Steps.Find("picture", &was, of...) && rd.Steps.Holds(was.Sum) {
			rd.Pages.GoesOut(from, was.Target, append(was.Removed, frame.PictureRest))
			return was.Picture, rd.Pages.PutHeld(was.Target, was.Sum, rd.Steps.Held)
		}
	}
	p, clean, err := rd.encodePicture(from)
	if err != nil {
		return p, err
	}
	if err := rd.Pages.Put(p.Target, clean.Data); err != nil {
		return p, err
	}
	rd.Pages.GoesOut(from, p.Target, append(clean.Removed, frame.PictureRest))
	if rd.keeper != nil {
		was = keptPicture{p, clean.Removed, sha256.Sum256(clean.Data)}
		rd.Steps.Hold(was.Sum, clean.Data)
		rd.Steps.Set("picture", was, of...)
	}
	return p, nil
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
