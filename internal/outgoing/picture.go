package outgoing

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	_ "image/gif" // of a moving picture the first one is shown
	"image/jpeg"
	"image/png"
	"math"
	"runtime"

	_ "golang.org/x/image/webp" // pictures may come as WebP
)

// Limits of a picture on the site and of what is decoded to make one.
const (
	pictureSide = 1600      // longest side, in pixels
	decodedMost = 256 << 20 // bytes that decoding may take by what the file says of itself; more is refused before it
	jpegQuality = 82
)

// Cleaned is a picture as it may leave the journal.
type Cleaned struct {
	Data          []byte
	Width, Height int
	Ending        string   // of its name: ".jpg" or ".png"
	Sizes         []Size   // the same as WebP, the narrowest first
	Removed       []string // what else the file held, in words
}

// CleanPicture decodes a JPEG, PNG, GIF or WebP, turns it as its camera says, scales it down and encodes its pixels, and
// nothing else of it (where and when it was taken, by what): photos as JPEG, the rest as PNG, which keeps transparency and the
// hard edges of drawings. The same comes smaller as WebP, for who reads that. The error says why it cannot be shown.
func CleanPicture(data []byte) (Cleaned, error) {
	config, format, err := image.DecodeConfig(bytes.NewReader(data))
	if err != nil {
		return Cleaned{}, fmt.Errorf("it is no JPEG, PNG, GIF or WebP that can be read (%w)", err)
	}
	if config.Width <= 0 || config.Height <= 0 {
		return Cleaned{}, fmt.Errorf("it has %d by %d pixels", config.Width, config.Height)
	}
	takes := float64(config.Width) * float64(config.Height) * perPixel(config, format, data)
	if takes > decodedMost {
		return Cleaned{}, fmt.Errorf("its %d by %d pixels would take %.0f MiB to decode, and %d MiB are the most", config.Width, config.Height, math.Ceil(takes/(1<<20)), decodedMost>>20)
	}
	img, _, err := image.Decode(bytes.NewReader(data))
	if err != nil {
		return Cleaned{}, fmt.Errorf("it is damaged (%w)", err)
	}
	img = scaled(fullRange(img, format))
	if takes > decodedMost/4 {
		runtime.GC() // so that what was decoded is given back before the encoders ask for theirs
	}
	if format == "jpeg" {
		img = turned(img, orientation(data))
	}
	out := Cleaned{Width: img.Bounds().Dx(), Height: img.Bounds().Dy(), Ending: ".png", Removed: besides(format, data)}
	var b bytes.Buffer
	if (format == "jpeg" || format == "webp") && opaque(img) {
		out.Ending = ".jpg"
		err = jpeg.Encode(&b, img, &jpeg.Options{Quality: jpegQuality})
	} else {
		err = (&png.Encoder{CompressionLevel: png.BestCompression}).Encode(&b, img)
	}
	if err != nil {
		return out, err
	}
	out.Data = b.Bytes()
	out.Sizes, err = sizes(img, out.Ending == ".png")
	return out, err
}

func opaque(img image.Image) bool {
	o, ok := img.(interface{ Opaque() bool })
	return ok && o.Opaque()
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
