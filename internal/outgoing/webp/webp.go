// Package webp encodes pictures as WebP (RFC 9649), lossy, by libwebp compiled to WebAssembly. What WebAssembly computes is the same
// on every machine, and so are the bytes; no library of the system is looked for.
package webp

import (
	"bytes"
	"compress/gzip"
	"context"
	_ "embed" // the encoder
	"errors"
	"fmt"
	"image"
	"io"
	"sync"

	"github.com/tetratelabs/wazero"
	"github.com/tetratelabs/wazero/api"
	"github.com/tetratelabs/wazero/imports/wasi_snapshot_preview1"
)

//go:embed libwebp.wasm.gz
var packed []byte

// Bounds of what is encoded.
const (
	SideMost    = 4096 // pixels
	memoryPages = 4096 // of 64 KiB
)

// encoder is the compiled program with what runs it. It is made when the first picture is.
type encoder struct {
	runtime wazero.Runtime
	program wazero.CompiledModule
}

var once = sync.OnceValues(func() (*encoder, error) {
	ctx := context.Background()
	unpacked, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		return nil, err
	}
	code, err := io.ReadAll(unpacked)
	if err != nil {
		return nil, err
	}
	e := &encoder{runtime: wazero.NewRuntimeWithConfig(ctx, wazero.NewRuntimeConfig().WithMemoryLimitPages(memoryPages))}
	if _, err := wasi_snapshot_preview1.Instantiate(ctx, e.runtime); err != nil {
		return nil, err
	}
	e.program, err = e.runtime.CompileModule(ctx, code)
	return e, err
})

// Encode encodes a picture at a quality from 1 to 99, transparency kept. The error says why it cannot be: no side is longer than
// SideMost, and none is nothing.
func Encode(img *image.NRGBA, quality int) ([]byte, error) {
	w, h := img.Rect.Dx(), img.Rect.Dy()
	if w < 1 || h < 1 || w > SideMost || h > SideMost || img.Stride != 4*w || len(img.Pix) != 4*w*h {
		return nil, fmt.Errorf("a picture of %d by %d pixels cannot be encoded as WebP", w, h)
	}
	if quality < 1 || quality > 99 {
		return nil, fmt.Errorf("WebP has no quality %d", quality)
	}
	e, err := once()
	if err != nil {
		return nil, fmt.Errorf("the encoder of WebP does not start: %w", err)
	}
	ctx := context.Background()
	// An instance of its own for each picture: nothing is left of the one before. It sees no file, no clock and no output.
	program, err := e.runtime.InstantiateModule(ctx, e.program, wazero.NewModuleConfig().WithName(""))
	if err != nil {
		return nil, err
	}
	data, err := run(ctx, program, img.Pix, w, h, quality)
	return data, errors.Join(err, program.Close(ctx))
}

// run copies the pixels in, calls the encoder and copies what it made out.
func run(ctx context.Context, program api.Module, pixels []byte, w, h, quality int) ([]byte, error) {
	at, err := call(ctx, program, "malloc", uint64(len(pixels)))
	if err != nil {
		return nil, err
	}
	size, err := call(ctx, program, "malloc", 8)
	if err != nil {
		return nil, err
	}
	if at == 0 || size == 0 || !program.Memory().Write(at, pixels) || !program.Memory().WriteUint64Le(size, 0) {
		return nil, errors.New("there is no room to encode the picture as WebP")
	}
	const rgba, method, lossless, exact = 0, 4, 0, 0
	out, err := call(ctx, program, "encode", uint64(at), uint64(w), uint64(h), uint64(size), rgba, uint64(quality), method, lossless, exact)
	if err != nil {
		return nil, err
	}
	length, ok := program.Memory().ReadUint32Le(size)
	if !ok || out == 0 || length == 0 {
		return nil, errors.New("the picture could not be encoded as WebP")
	}
	data, ok := program.Memory().Read(out, length)
	if !ok {
		return nil, errors.New("the picture could not be encoded as WebP")
	}
	return bytes.Clone(data), nil
}

func call(ctx context.Context, program api.Module, name string, with ...uint64) (uint32, error) {
	f := program.ExportedFunction(name)
	if f == nil {
		return 0, fmt.Errorf("the encoder of WebP has no %s", name)
	}
	out, err := f.Call(ctx, with...)
	if err != nil || len(out) != 1 {
		return 0, fmt.Errorf("the encoder of WebP stopped: %w", err)
	}
	return uint32(out[0]), nil
}
