package reading

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"html/template"
	"io"
	"path"
	"slices"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/outgoing"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
)

// RulePicture is the rule of findings about pictures that cannot be shown.
const RulePicture = "unreadable-picture"

// Picture is a picture of the journal as it stands on the site.
type Picture struct {
	Target        string
	Width, Height int
	Sizes         []PictureSize // the same as WebP, the narrowest first
}

// PictureSize is a picture in one width.
type PictureSize struct {
	Target        string
	Width, Height int
}

// How wide a page shows a picture, as the attribute `sizes` says it: across the whole sheet, or in the text. A telephone's sheet has a margin of 20
// pixels at either side.
const (
	WholeSheet = "(max-width: 920px) calc(100vw - 39px), 884px"
	InTheText  = "(max-width: 740px) calc(100vw - 39px), 680px"
)

// Image is a picture as a page shows it.
func (rd *Reader) Image(s *frame.Sheet, p Picture, alt string) frame.Image {
	image := frame.Image{Href: address.Escape(s.To(p.Target)), Alt: alt, Width: p.Width, Height: p.Height, Sizes: InTheText}
	var set []string
	for _, size := range p.Sizes {
		set = append(set, fmt.Sprintf("%s %dw", address.Escape(s.To(size.Target)), size.Width))
	}
	image.Set = template.Srcset(strings.Join(set, ", "))
	return image
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
	Sums    [][sha256.Size]byte // of Target, then of the sizes
}

// files are the files of a picture, the one for all first.
func (p Picture) files() []string {
	out := []string{p.Target}
	for _, s := range p.Sizes {
		out = append(out, s.Target)
	}
	return out
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
		if rd.Steps.Find("picture in sizes", &was, of...) && len(was.Sums) == len(was.files()) && !slices.ContainsFunc(was.Sums, func(sum [sha256.Size]byte) bool { return !rd.Steps.Holds(sum) }) {
			for k, file := range was.files() {
				if err := rd.Pages.PutHeld(file, was.Sums[k], rd.Steps.Held); err != nil {
					return Picture{}, err
				}
			}
			rd.pictureGoesOut(from, was)
			return was.Picture, nil
		}
	}
	p, clean, err := rd.encodePicture(from)
	if err != nil {
		return p, err
	}
	was = keptPicture{Picture: p, Removed: clean.Removed}
	data := [][]byte{clean.Data}
	for _, size := range clean.Sizes {
		data = append(data, size.Data)
	}
	for k, file := range p.files() {
		if err := rd.Pages.Put(file, data[k]); err != nil {
			return p, err
		}
		was.Sums = append(was.Sums, sha256.Sum256(data[k]))
	}
	rd.pictureGoesOut(from, was)
	if rd.keeper != nil {
		for k, sum := range was.Sums {
			rd.Steps.Hold(sum, data[k])
		}
		rd.Steps.Set("picture in sizes", was, of...)
	}
	return p, nil
}

// pictureGoesOut notes what becomes of a picture; the one for all last, as that is what it is on the site.
func (rd *Reader) pictureGoesOut(from string, p keptPicture) {
	for _, file := range slices.Backward(p.files()) {
		rd.Pages.GoesOut(from, file, append(slices.Clone(p.Removed), frame.PictureRest))
	}
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
	p := Picture{Target: strings.TrimSuffix(from, path.Ext(from)) + clean.Ending, Width: clean.Width, Height: clean.Height}
	for _, size := range clean.Sizes {
		p.Sizes = append(p.Sizes, PictureSize{sizeTarget(from, size.Width), size.Width, size.Height})
	}
	return p, clean, nil
}

// sizeTarget is where a picture stands in one width: "tray-780.webp" of tray.jpg, "tray-png-780.webp" of tray.png, which may lie beside it.
func sizeTarget(from string, width int) string {
	ending := path.Ext(from)
	stem := strings.TrimSuffix(from, ending)
	if ending != ".jpg" {
		stem += "-" + strings.TrimPrefix(ending, ".")
	}
	return fmt.Sprintf("%s-%d.webp", stem, width)
}
