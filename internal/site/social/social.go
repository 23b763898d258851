// Package social draws the picture of a page that stands beside a link to it elsewhere: the page's own title and answer, and what was
// measured as a line. It is drawn here, in whole pixels by faces that come with the program, so that it has the same bytes everywhere.
package social

import (
	"bytes"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"math"
	"strings"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"

	"voltwright/internal/site/frame"
)

// The size of a picture, by the Open Graph protocol's own example of a wide one.
const (
	Width  = 1200
	Height = 630
)

// Said is what a page says first.
type Said struct {
	Journal, Title       string
	Before, Number, Plus string // "Ran", "1 h 36 min", "13 s"
	Then                 string // a sentence
	Course               frame.Course
}

var (
	paper = color.RGBA{0xfc, 0xfc, 0xf9, 0xff}
	ink   = color.RGBA{0x15, 0x21, 0x2b, 0xff}
	soft  = color.RGBA{0x4a, 0x56, 0x60, 0xff}
	hair  = color.RGBA{0xbc, 0xc3, 0xc5, 0xff}
	teal  = color.RGBA{0x00, 0x66, 0x5c, 0xff}
)

const margin = 64

// Picture draws what a page says as a PNG. The error is of a face or of the encoder.
func Picture(s Said) ([]byte, error) {
	p := &painter{img: image.NewRGBA(image.Rect(0, 0, Width, Height))}
	p.fill(p.img.Rect, paper)
	for _, edge := range []image.Rectangle{image.Rect(24, 24, Width-24, 29), image.Rect(24, Height-29, Width-24, Height-24), image.Rect(24, 24, 29, Height-24), image.Rect(Width-29, 24, Width-24, Height-24)} {
		p.fill(edge, ink)
	}
	p.write(goregular.TTF, 26, s.Journal, margin, 86, soft)
	y := p.lines(gobold.TTF, 50, s.Title, 148, 58, 2, ink)
	if s.Number != "" {
		y += 96
		x := margin
		if s.Before != "" {
			x += p.write(goregular.TTF, 34, s.Before+"  ", x, y, soft)
		}
		x += p.write(gobold.TTF, 92, s.Number, x, y, ink)
		if s.Plus != "" {
			p.write(goregular.TTF, 34, "  ± "+s.Plus, x, y, soft)
		}
		y += 58
	} else {
		y += 30
	}
	most := 4
	if len(s.Course.Y) > 1 {
		most = 1
	}
	y = p.lines(goregular.TTF, 32, s.Then, y, 42, most, ink)
	p.course(s.Course, y)
	var out bytes.Buffer
	err := png.Encode(&out, paletted(p.img)) // the best compression takes ten times as long for a tenth fewer bytes
	if p.err != nil {
		err = p.err
	}
	return out.Bytes(), err
}

// shades is how many shades there are from the paper to each colour.
const shades = 63

// paletted is a picture in the nearest of the shades that letters and lines have at their edges, a byte a pixel: a quarter of the work to
// encode it, and fewer bytes.
func paletted(img *image.RGBA) *image.Paletted {
	palette := color.Palette{paper}
	for _, c := range []color.RGBA{ink, soft, hair, teal} {
		for k := 1; k <= shades; k++ {
			between := func(a, b uint8) uint8 { return uint8((int(a)*(shades-k) + int(b)*k) / shades) }
			palette = append(palette, color.RGBA{between(paper.R, c.R), between(paper.G, c.G), between(paper.B, c.B), 0xff})
		}
	}
	out := image.NewPaletted(img.Rect, palette)
	nearest := map[[3]uint8]uint8{}
	var at uint8
	var last [3]uint8
	for k := range out.Pix {
		c := [3]uint8(img.Pix[4*k : 4*k+3])
		if k > 0 && c == last {
			out.Pix[k] = at
			continue
		}
		var ok bool
		at, ok = nearest[c]
		if !ok {
			at = uint8(palette.Index(color.RGBA{c[0], c[1], c[2], 0xff}))
			nearest[c] = at
		}
		out.Pix[k], last = at, c
	}
	return out
}

// painter paints on a picture; what went wrong first is in err.
type painter struct {
	img *image.RGBA
	err error
}

func (p *painter) fill(r image.Rectangle, c color.Color) {
	draw.Draw(p.img, r, image.NewUniform(c), image.Point{}, draw.Src)
}

func (p *painter) face(ttf []byte, size float64) font.Face {
	f, err := opentype.Parse(ttf)
	if err == nil {
		var face font.Face
		if face, err = opentype.NewFace(f, &opentype.FaceOptions{Size: size, DPI: 72, Hinting: font.HintingFull}); err == nil {
			return face
		}
	}
	p.err = err
	return nil
}

// write writes a line and gives its width.
func (p *painter) write(ttf []byte, size float64, text string, x, y int, c color.Color) int {
	face := p.face(ttf, size)
	if face == nil {
		return 0
	}
	d := font.Drawer{Dst: p.img, Src: image.NewUniform(c), Face: face, Dot: fixed.P(x, y)}
	d.DrawString(plain(text))
	return (d.Dot.X - fixed.I(x)).Ceil()
}

// lines writes a text in lines as wide as the picture, at most so many, and gives the height of the next.
func (p *painter) lines(ttf []byte, size float64, text string, y, step, most int, c color.Color) int {
	face := p.face(ttf, size)
	if face == nil {
		return y
	}
	line, n := "", 0
	flush := func() {
		if line != "" && n < most {
			p.write(ttf, size, line, margin, y, c)
			y, n = y+step, n+1
		}
		line = ""
	}
	for _, word := range strings.Fields(plain(text)) {
		if longer := strings.TrimSpace(line + " " + word); font.MeasureString(face, longer).Ceil() <= Width-2*margin {
			line = longer
			continue
		}
		if n == most-1 {
			for font.MeasureString(face, line+" …").Ceil() > Width-2*margin && strings.Contains(line, " ") {
				line = line[:strings.LastIndex(line, " ")]
			}
			line += " …"
			flush()
			return y
		}
		flush()
		line = word
	}
	flush()
	return y
}

// plain leaves out what the faces have no letters for and makes every space one that can break.
func plain(text string) string {
	return strings.Map(func(r rune) rune {
		switch r {
		case '\u00a0', '\u2009', '\u202f', '\n':
			return ' '
		case '\u2060':
			return -1
		}
		return r
	}, text)
}

// course draws a measured line in what room there is left, with its ends and its name.
func (p *painter) course(c frame.Course, top int) {
	bottom := Height - 96
	if len(c.Y) < 2 || bottom-top < 60 {
		return
	}
	low, high := c.Y[0], c.Y[0]
	for _, v := range c.Y {
		low, high = math.Min(low, v), math.Max(high, v)
	}
	if !(high > low) {
		return
	}
	p.fill(image.Rect(margin, bottom, Width-margin, bottom+2), ink)
	at := func(i int) (x, y int) {
		span := c.X[len(c.X)-1] - c.X[0]
		x = margin + int(float64((c.X[i]-c.X[0])*float64(Width-2*margin))/span)
		y = bottom - 6 - int(float64((c.Y[i]-low)*float64(bottom-top-12))/(high-low))
		return x, y
	}
	for _, share := range []int{0, 1, 2} {
		y := bottom - 6 - (bottom-top-12)*share/2
		p.fill(image.Rect(margin, y, Width-margin, y+1), hair)
	}
	x0, y0 := at(0)
	for i := 1; i < len(c.Y); i++ {
		x1, y1 := at(i)
		p.stroke(x0, y0, x1, y1)
		x0, y0 = x1, y1
	}
	p.write(goregular.TTF, 24, c.Name+": "+c.Low+" to "+c.High, margin, Height-52, soft)
}

// stroke draws a line four pixels thick, by whole numbers.
func (p *painter) stroke(x0, y0, x1, y1 int) {
	steps := max(x1-x0, x0-x1, y1-y0, y0-y1, 1)
	for i := range steps + 1 {
		x, y := x0+(x1-x0)*i/steps, y0+(y1-y0)*i/steps
		p.fill(image.Rect(x-2, y-2, x+2, y+2), teal)
	}
}
