package outgoing

import (
	"image"
	"image/color"

	"voltwright/internal/outgoing/webp"
)

// Size is a picture in one width, as WebP.
type Size struct {
	Width, Height int
	Data          []byte
}

// widths are the widths in pixels in which a picture is offered, with the most bytes that each should have: a telephone held upright shows one
// of 420, or of twice or three times as many pixels.
var widths = []struct{ width, bytes int }{{420, 30_000}, {780, 60_000}, {1170, 60_000}}

// qualities are tried one after the other until a picture is small enough. Drawings begin at the first, photos at the second.
var qualities = []int{90, 78, 66, 54, 42, 32}

// sizes encodes a picture in all widths that it has. One that is never small enough is left out, unless it is the narrowest.
func sizes(img image.Image, drawn bool) ([]Size, error) {
	var out []Size
	b := img.Bounds()
	for k, w := range widths {
		if k > 0 && b.Dx() <= widths[k-1].width {
			break
		}
		width := min(w.width, b.Dx())
		small := plain8(reduced(img, width, max(1, (b.Dy()*width+b.Dx()/2)/b.Dx())))
		try := qualities
		if !drawn {
			try = qualities[1:]
		}
		for _, quality := range try {
			data, err := webp.Encode(small, quality)
			if err != nil {
				return nil, err
			}
			last := quality == qualities[len(qualities)-1]
			if len(data) <= w.bytes || last && k == 0 {
				out = append(out, Size{width, small.Rect.Dy(), data})
				break
			}
		}
	}
	return out, nil
}

// scaled is a picture whose longest side is at most pictureSide.
func scaled(img image.Image) image.Image {
	size := img.Bounds().Size()
	longest := max(size.X, size.Y)
	if longest <= pictureSide {
		return img
	}
	return reduced(img, max(1, size.X*pictureSide/longest), max(1, size.Y*pictureSide/longest))
}

// reduced is a picture made smaller, each pixel the mean of what it covers, in whole numbers: the same on every machine. It takes no memory
// but the result's.
func reduced(img image.Image, w, h int) image.Image {
	from := img.Bounds()
	pixels, ok := img.(image.RGBA64Image)
	if !ok || w >= from.Dx() || h > from.Dy() { // none that is decoded here is no such image
		return img
	}
	out := image.NewRGBA64(image.Rect(0, 0, w, h))
	across, down := shares(w, from.Dx()), shares(h, from.Dy())
	line, sum := make([]uint64, 4*w), make([]uint64, 4*w) // of one row of what is covered, and of all rows of a pixel
	all := uint64(from.Dx()) * uint64(from.Dy())
	for sy, rows := range down {
		clear(line)
		for sx, columns := range across {
			p := pixels.RGBA64At(from.Min.X+sx, from.Min.Y+sy)
			for _, c := range columns {
				at := line[4*c.of : 4*c.of+4]
				at[0] += c.part * uint64(p.R)
				at[1] += c.part * uint64(p.G)
				at[2] += c.part * uint64(p.B)
				at[3] += c.part * uint64(p.A)
			}
		}
		for _, r := range rows {
			if r.part == 0 {
				continue
			}
			for i, v := range line {
				sum[i] += r.part * v
			}
			if (sy+1)*h >= (r.of+1)*from.Dy() { // the pixels of this row have all that they cover
				for x := range w {
					mean := func(k int) uint16 { return uint16((sum[4*x+k] + all/2) / all) }
					out.SetRGBA64(x, r.of, color.RGBA64{R: mean(0), G: mean(1), B: mean(2), A: mean(3)})
				}
				clear(sum)
			}
		}
	}
	return out
}

// share is how much of a pixel one of fewer pixels covers.
type share struct {
	of   int
	part uint64
}

// shares says of each of m pixels in a row which of n pixels in the same room cover it, and how much of it in parts of n; m is at least n.
func shares(n, m int) [][2]share {
	out := make([][2]share, m)
	for j := range out {
		first := j * n / m
		out[j][0] = share{first, uint64(min((j+1)*n, (first+1)*m) - j*n)}
		if next := uint64(n) - out[j][0].part; next > 0 {
			out[j][1] = share{first + 1, next}
		}
	}
	return out
}

// plain8 is a picture with eight bits to a colour, as WebP takes it.
func plain8(img image.Image) *image.NRGBA {
	b := img.Bounds()
	out := image.NewNRGBA(image.Rect(0, 0, b.Dx(), b.Dy()))
	for y := range b.Dy() {
		for x := range b.Dx() {
			out.SetNRGBA(x, y, color.NRGBAModel.Convert(img.At(b.Min.X+x, b.Min.Y+y)).(color.NRGBA))
		}
	}
	return out
}

// fullRange gives the colours of a lossy WebP as they are meant: its brightness goes from 16 to 235 and its colours from 16 to 240 (RFC 6386,
// 9.2, by Rec. ITU-R BT.601), and the decoder hands them on as if they went from 0 to 255.
func fullRange(img image.Image, format string) image.Image {
	y, ok := img.(*image.YCbCr)
	if format != "webp" || !ok {
		return img
	}
	stretch := func(values []byte, zero, from, span int) {
		for i, v := range values {
			values[i] = byte(min(255, max(0, zero+((int(v)-from)*255*2+span)/(2*span))))
		}
	}
	stretch(y.Y, 0, 16, 219)
	stretch(y.Cb, 128, 128, 224)
	stretch(y.Cr, 128, 128, 224)
	return y
}
