package outgoing

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image"
	"image/jpeg"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// childPicture names, to this test's own binary run again, the picture that it cleans.
const childPicture = "VOLTWRIGHT_TEST_CHILD_PICTURE"

func TestMain(m *testing.M) {
	if name := os.Getenv(childPicture); name != "" {
		cleanAlone(name)
	}
	os.Exit(m.Run())
}

// cleanAlone cleans one picture and says what came of it and how much memory the process took at its most.
func cleanAlone(name string) {
	data, err := os.ReadFile(name)
	if err == nil {
		_, err = CleanPicture(data)
	}
	status, statusErr := os.ReadFile("/proc/self/status")
	if statusErr != nil {
		fmt.Println(statusErr)
		os.Exit(1)
	}
	fmt.Printf("%s\n%v\n", regexp.MustCompile(`VmHWM:\s+(\d+) kB`).FindSubmatch(status)[1], err)
	os.Exit(0)
}

// blankPNG is a picture without a mark on it (W3C PNG, third edition, 11.2): so small a file, so much to decode.
func blankPNG(t *testing.T, w, h, depth, colour, channels, interlace int) []byte {
	t.Helper()
	var out, packed bytes.Buffer
	out.WriteString("\x89PNG\r\n\x1a\n")
	chunk := func(kind string, data []byte) {
		body := append([]byte(kind), data...)
		out.Write(binary.BigEndian.AppendUint32(nil, uint32(len(data))))
		out.Write(body)
		out.Write(binary.BigEndian.AppendUint32(nil, crc32.ChecksumIEEE(body)))
	}
	head := binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32(nil, uint32(w)), uint32(h))
	chunk("IHDR", append(head, byte(depth), byte(colour), 0, 0, byte(interlace)))
	if colour == 3 {
		chunk("PLTE", []byte{0, 0, 0, 255, 255, 255})
	}
	z, err := zlib.NewWriterLevel(&packed, zlib.BestSpeed)
	if err != nil {
		t.Fatal(err)
	}
	bytesOf := func(w, h int) int64 { return int64(h) * int64((w*channels*depth+7)/8+1) }
	size := bytesOf(w, h)
	if interlace == 1 { // each pass has rows of its own, about as many bytes in all
		size = 0
		for _, p := range [][4]int{{0, 0, 8, 8}, {4, 0, 8, 8}, {0, 4, 4, 8}, {2, 0, 4, 4}, {0, 2, 2, 4}, {1, 0, 2, 2}, {0, 1, 1, 2}} {
			pw, ph := (w-p[0]+p[2]-1)/p[2], (h-p[1]+p[3]-1)/p[3]
			size += bytesOf(pw, ph)
		}
	}
	if _, err := io.CopyN(z, zeros{}, size); err != nil {
		t.Fatal(err)
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	chunk("IDAT", packed.Bytes())
	chunk("IEND", nil)
	return out.Bytes()
}

type zeros struct{}

func (zeros) Read(p []byte) (int, error) { clear(p); return len(p), nil }

func blankJPEG(t *testing.T, w, h int) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, image.NewYCbCr(image.Rect(0, 0, w, h), image.YCbCrSubsampleRatio420), nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// progressive makes a JPEG say that it is a progressive one, whose coefficients are kept until its end.
func progressive(data []byte) []byte {
	return bytes.Replace(data, []byte{0xff, 0xc0}, []byte{0xff, 0xc2}, 1)
}

// A picture takes no more memory than there is for one, however small its file: it is cleaned within it, or refused for what
// it says of itself before it is decoded.
func TestPicturesStayWithinTheirMemory(t *testing.T) {
	const most = 512 << 10 // kB, of the whole process
	for _, tt := range []struct {
		name  string
		data  []byte
		taken bool
	}{
		{"grey of 256 MiB", blankPNG(t, 16384, 16384, 8, 0, 1, 0), true},
		{"grey of a row more", blankPNG(t, 16384, 16385, 8, 0, 1, 0), false},
		{"64 bits a pixel, just below", blankPNG(t, 5792, 5792, 16, 6, 4, 0), true},
		{"64 bits a pixel, just above", blankPNG(t, 5793, 5793, 16, 6, 4, 0), false},
		{"64 bits a pixel, interlaced, just below", blankPNG(t, 4096, 4096, 16, 6, 4, 1), true},
		{"64 bits a pixel, interlaced, just above", blankPNG(t, 4097, 4096, 16, 6, 4, 1), false},
		{"two colours, 100 megapixels", blankPNG(t, 10000, 10000, 1, 3, 1, 0), true},
		{"a long ribbon", blankPNG(t, 4_000_000, 16, 8, 2, 3, 0), true},
		{"a photo of 100 megapixels", blankJPEG(t, 10000, 10000), true},
		{"a photo of 200 megapixels", blankJPEG(t, 200, 200), false},
		{"a progressive photo of 100 megapixels", progressive(blankJPEG(t, 10000, 10000)), false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if strings.Contains(tt.name, "200 megapixels") { // its head alone matters
				at := bytes.Index(tt.data, []byte{0xff, 0xc0})
				binary.BigEndian.PutUint16(tt.data[at+5:], 14143)
				binary.BigEndian.PutUint16(tt.data[at+7:], 14143)
			}
			name := filepath.Join(t.TempDir(), "picture")
			if err := os.WriteFile(name, tt.data, 0o644); err != nil {
				t.Fatal(err)
			}
			child := exec.Command(os.Args[0])
			child.Env = append(os.Environ(), childPicture+"="+name)
			out, err := child.CombinedOutput()
			if err != nil {
				t.Fatalf("%v: %s", err, out)
			}
			peak, said, _ := strings.Cut(strings.TrimSpace(string(out)), "\n")
			kB, err := strconv.Atoi(peak)
			if err != nil {
				t.Fatalf("%s", out)
			}
			if taken := said == "<nil>"; taken != tt.taken || !taken && !strings.Contains(said, "MiB to decode") {
				t.Errorf("it was taken: %v, want %v: %s", taken, tt.taken, said)
			}
			if kB > most {
				t.Errorf("a file of %d kB took %d MiB", len(tt.data)>>10, kB>>10)
			}
			t.Logf("%d kB took %d MiB; %s", len(tt.data)>>10, kB>>10, said)
		})
	}
}
