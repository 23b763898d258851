package site

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/color"
	_ "image/gif" // of a moving picture the first one is shown
	"image/jpeg"
	"image/png"
	"io"
	"path"
	"strings"

	"golang.org/x/image/draw"
	_ "golang.org/x/image/webp" // pictures may come as WebP

	"voltwright/internal/finding"
)

// Limits of a picture on the site and of what is decoded to make one.
const (
	pictureSide   = 1600        // longest side, in pixels
	picturePixels = 120_000_000 // more are refused before they are decoded
	jpegQuality   = 82
)

// RulePicture is the rule of findings about pictures that cannot be shown.
const RulePicture = "unreadable-picture"

// picture is a picture of the journal as it stands on the site.
type picture struct {
	target        string
	width, height int
}

// picture puts a picture on the site: decoded, turned as its camera says, scaled down and encoded again, so that nothing
// else that the file held (where and when it was taken, by what) is published. False: it cannot be shown, and a finding
// says why.
func (b *builder) picture(from string, asked finding.Span) (picture, bool) {
	if p, ok := b.pictures[from]; ok {
		return p, p.target != ""
	}
	p, data, err := b.encodePicture(from)
	if err == nil {
		err = b.pages.put(p.target, data)
	}
	if err != nil {
		p = picture{}
		b.findings.Add(finding.Finding{Rule: RulePicture, Level: finding.Error, Span: asked,
			Text:   fmt.Sprintf("the picture %s cannot be shown: %v", from, err),
			Remedy: "save it as JPEG or PNG under the same name, or take it out."})
	}
	b.pictures[from] = p
	return p, p.target != ""
}

func (b *builder) encodePicture(from string) (picture, []byte, error) {
	r, err := b.in.Open(from)
	if err != nil {
		return picture{}, nil, err
	}
	data, err := io.ReadAll(r)
	if err := errors.Join(err, r.Close()); err != nil {
		return picture{}, nil, err
	}
	clean, width, height, opaque, err := reencode(data)
	if err != nil {
		return picture{}, nil, err
	}
	ending := ".png"
	if opaque {
		ending = ".jpg"
	}
	return picture{target: strings.TrimSuffix(from, path.Ext(from)) + ending, width: width, height: height}, clean, nil
}

// reencode decodes a JPEG, PNG, GIF or WebP and encodes its pixels, and nothing else of it: as JPEG if asJPEG is reported,
// else as PNG, which keeps transparency and the hard edges of drawings.
func reencode(data []byte) (clean []byte, width, height int, asJPEG bool, err error) {
	config, format, err := image.DecodeConfig(bytes.NewReader(data))
	if err != nil {
		return nil, 0, 0, false, fmt.Errorf("it is no JPEG, PNG, GIF or WebP that can be read (%w)", err)
	}
	if config.Width <= 0 || config.Height <= 0 || config.Width > picturePixels/config.Height {
		return nil, 0, 0, false, fmt.Errorf("it has %d by %d pixels, more than can be taken", config.Width, config.Height)
	}
	img, _, err := image.Decode(bytes.NewReader(data))
	if err != nil {
		return nil, 0, 0, false, fmt.Errorf("it is damaged (%w)", err)
	}
	img = scaled(img)
	if format == "jpeg" {
		img = turned(img, orientation(data))
	}
	var out bytes.Buffer
	asJPEG = (format == "jpeg" || format == "webp") && opaque(img)
	if asJPEG {
		err = jpeg.Encode(&out, img, &jpeg.Options{Quality: jpegQuality})
	} else {
		err = (&png.Encoder{CompressionLevel: png.BestCompression}).Encode(&out, img)
	}
	return out.Bytes(), img.Bounds().Dx(), img.Bounds().Dy(), asJPEG, err
}

func opaque(img image.Image) bool {
	o, ok := img.(interface{ Opaque() bool })
	return ok && o.Opaque()
}

func scaled(img image.Image) image.Image {
	size := img.Bounds().Size()
	longest := max(size.X, size.Y)
	if longest <= pictureSide {
		return img
	}
	to := image.Rect(0, 0, max(1, size.X*pictureSide/longest), max(1, size.Y*pictureSide/longest))
	var out draw.Image = image.NewRGBA(to)
	if !opaque(img) {
		out = image.NewNRGBA(to)
	}
	draw.BiLinear.Scale(out, to, img, img.Bounds(), draw.Src, nil)
	return out
}

// turned applies an orientation of TIFF 6.0, tag 274, as Exif uses it: 1 to 8.
func turned(img image.Image, how int) image.Image {
	if how < 2 || how > 8 {
		return img
	}
	b := img.Bounds()
	w, h := b.Dx(), b.Dy()
	size := image.Rect(0, 0, w, h)
	if how >= 5 {
		size = image.Rect(0, 0, h, w)
	}
	out := image.NewRGBA(size)
	for y := range size.Dy() {
		for x := range size.Dx() {
			var sx, sy int
			switch how {
			case 2:
				sx, sy = w-1-x, y
			case 3:
				sx, sy = w-1-x, h-1-y
			case 4:
				sx, sy = x, h-1-y
			case 5:
				sx, sy = y, x
			case 6:
				sx, sy = y, h-1-x
			case 7:
				sx, sy = w-1-y, h-1-x
			case 8:
				sx, sy = w-1-y, x
			}
			out.Set(x, y, color.RGBAModel.Convert(img.At(b.Min.X+sx, b.Min.Y+sy)))
		}
	}
	return out
}

// orientation finds tag 274 in the Exif segment of a JPEG (CIPA DC-008); 1 where there is none.
func orientation(data []byte) int {
	for at := 2; at+4 <= len(data) && data[at] == 0xff; {
		marker, size := data[at+1], int(data[at+2])<<8|int(data[at+3])
		if marker == 0xda || size < 2 || at+2+size > len(data) {
			return 1
		}
		segment := data[at+4 : at+2+size]
		if marker == 0xe1 && bytes.HasPrefix(segment, []byte("Exif\x00\x00")) {
			return tiffOrientation(segment[6:])
		}
		at += 2 + size
	}
	return 1
}

func tiffOrientation(tiff []byte) int {
	if len(tiff) < 8 {
		return 1
	}
	little := tiff[0] == 'I'
	number := func(b []byte) (n int) {
		for i := range b {
			at := i
			if little {
				at = len(b) - 1 - i
			}
			n = n<<8 | int(b[at])
		}
		return n
	}
	first := number(tiff[4:8])
	if first < 8 || first+2 > len(tiff) {
		return 1
	}
	count := number(tiff[first : first+2])
	for i := range count {
		at := first + 2 + 12*i
		if at+12 > len(tiff) {
			return 1
		}
		if number(tiff[at:at+2]) == 274 {
			return number(tiff[at+8 : at+10])
		}
	}
	return 1
}
