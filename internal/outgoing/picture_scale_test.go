package outgoing

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"testing"

	xwebp "golang.org/x/image/webp"

	"voltwright/internal/outgoing/webp"
)

// A picture made smaller keeps its mean, by count.
func TestReducedKeepsTheMean(t *testing.T) {
	from := image.NewNRGBA(image.Rect(0, 0, 70, 30))
	sum := 0
	for i := range from.Pix {
		from.Pix[i] = 255
	}
	for y := range 30 {
		for x := range 70 {
			v := uint8((x*37 + y*91) % 256)
			from.SetNRGBA(x, y, color.NRGBA{v, v, v, 255})
			sum += int(v)
		}
	}
	small := reduced(from, 11, 7)
	if small.Bounds().Dx() != 11 || small.Bounds().Dy() != 7 {
		t.Fatal(small.Bounds())
	}
	now := 0.0
	for y := range 7 {
		for x := range 11 {
			r, _, _, a := small.At(x, y).RGBA()
			now += float64(r) / 257 / 77
			if a != 0xffff {
				t.Fatalf("%d %d lets %d through", x, y, a)
			}
		}
	}
	if was := float64(sum) / 2100; now < was-0.01 || now > was+0.01 {
		t.Errorf("the mean was %.3f and is %.3f", was, now)
	}
}

// A picture is offered in the widths that it has, each below what it should have.
func TestSizes(t *testing.T) {
	for _, c := range []struct {
		width int
		want  []int
	}{{300, []int{300}}, {420, []int{420}}, {500, []int{420, 500}}, {1600, []int{420, 780, 1170}}} {
		img := image.NewNRGBA(image.Rect(0, 0, c.width, c.width*2/3))
		for i := range img.Pix {
			img.Pix[i] = byte(i%4/3*255 + i/4%c.width/8)
		}
		var b bytes.Buffer
		if err := png.Encode(&b, img); err != nil {
			t.Fatal(err)
		}
		out, err := CleanPicture(b.Bytes())
		if err != nil {
			t.Fatal(err)
		}
		if len(out.Sizes) != len(c.want) {
			t.Fatalf("%d wide: %d sizes", c.width, len(out.Sizes))
		}
		for k, s := range out.Sizes {
			back, err := xwebp.DecodeConfig(bytes.NewReader(s.Data))
			if err != nil || s.Width != c.want[k] || back.Width != s.Width || back.Height != s.Height || len(s.Data) > widths[k].bytes {
				t.Errorf("%d wide: size %d is %d by %d, %d bytes, %v", c.width, k, s.Width, s.Height, len(s.Data), err)
			}
		}
	}
}

// The colours of a WebP come out as they went in.
func TestColoursOfWebP(t *testing.T) {
	for _, want := range []color.NRGBA{{200, 30, 40, 255}, {255, 255, 255, 255}, {0, 0, 0, 255}, {20, 90, 220, 255}} {
		img := image.NewNRGBA(image.Rect(0, 0, 32, 32))
		for i := range img.Pix {
			img.Pix[i] = []byte{want.R, want.G, want.B, 255}[i%4]
		}
		data, err := webp.Encode(img, 95)
		if err != nil {
			t.Fatal(err)
		}
		out, err := CleanPicture(data)
		if err != nil {
			t.Fatal(err)
		}
		back, _, err := image.Decode(bytes.NewReader(out.Data))
		if err != nil {
			t.Fatal(err)
		}
		got := color.NRGBAModel.Convert(back.At(16, 16)).(color.NRGBA)
		for _, d := range []int{int(got.R) - int(want.R), int(got.G) - int(want.G), int(got.B) - int(want.B)} {
			if d < -6 || d > 6 {
				t.Errorf("%v came back as %v", want, got)
			}
		}
	}
}
