// Command build makes the chart engine that the pages carry.
//
// It fetches the three packages named in packages.json with "npm pack", refuses one whose SHA-512 is not the
// one written there, keeps the modules that engine.js names, and writes beside this folder
//
//	charts-engine.js   the engine, one classic script, no eval
//	LICENSE NOTICE     the licences of what is in it
//	VERSION            what went in, and the digest of what came out
//
// Run it from this folder:
//
//	go run . [-check]
//
// With -check nothing is written: it is an error if what is beside this folder is not what would be written.
package main

import (
	"archive/tar"
	"bytes"
	"compress/gzip"
	"crypto/sha512"
	"encoding/base64"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"log"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"strings"

	"github.com/evanw/esbuild/pkg/api"
)

// Package is one entry of packages.json.
type Package struct {
	Name      string            `json:"name"`
	Version   string            `json:"version"`
	Licence   string            `json:"licence"`   // SPDX identifier
	Integrity string            `json:"integrity"` // "sha512-" and the digest of the packed file in base64
	Texts     map[string]string `json:"texts"`     // file in the package → file of ours that it is part of
}

func main() {
	log.SetFlags(0)
	check := flag.Bool("check", false, "write nothing; fail if the files beside this folder differ")
	flag.Parse()
	if err := run("..", *check); err != nil {
		log.Fatal("build: ", err)
	}
}

// run makes the outputs and writes them to, or compares them with, the folder out.
func run(out string, check bool) error {
	var packages []Package
	text, err := os.ReadFile("packages.json")
	if err != nil {
		return err
	}
	if err := json.Unmarshal(text, &packages); err != nil {
		return fmt.Errorf("packages.json: %w", err)
	}
	work, err := os.MkdirTemp("", "charts-engine-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(work)

	for _, p := range packages {
		packed, err := fetch(work, p)
		if err != nil {
			return fmt.Errorf("%s@%s: %w", p.Name, p.Version, err)
		}
		if err := unpack(packed, filepath.Join(work, "node_modules", p.Name)); err != nil {
			return fmt.Errorf("%s@%s: %w", p.Name, p.Version, err)
		}
	}
	script, err := bundle(work)
	if err != nil {
		return err
	}
	files, err := texts(work, packages)
	if err != nil {
		return err
	}
	files["charts-engine.js"] = script
	files["VERSION"] = version(packages, script)
	for name, content := range files {
		target := filepath.Join(out, name)
		if !check {
			if err := os.WriteFile(target, content, 0o644); err != nil {
				return err
			}
			continue
		}
		have, err := os.ReadFile(target)
		if err != nil {
			return err
		}
		if !bytes.Equal(have, content) {
			return fmt.Errorf("%s is not what this build makes (%d bytes there, %d here)", name, len(have), len(content))
		}
	}
	fmt.Printf("charts-engine.js: %d bytes, %s\n", len(script), digest(script))
	return nil
}

// fetch packs one package by its name and version and checks its digest.
func fetch(work string, p Package) ([]byte, error) {
	pack := exec.Command("npm", "pack", "--silent", "--ignore-scripts", "--pack-destination", work, p.Name+"@"+p.Version)
	pack.Stderr = os.Stderr
	if err := pack.Run(); err != nil {
		return nil, fmt.Errorf("npm pack: %w", err)
	}
	packed, err := os.ReadFile(filepath.Join(work, p.Name+"-"+p.Version+".tgz"))
	if err != nil {
		return nil, err
	}
	if got := digest(packed); got != p.Integrity {
		return nil, fmt.Errorf("digest is %s, wanted %s", got, p.Integrity)
	}
	return packed, nil
}

func digest(b []byte) string {
	sum := sha512.Sum512(b)
	return "sha512-" + base64.StdEncoding.EncodeToString(sum[:])
}

// unpack writes the regular files of a packed package under dir.
func unpack(packed []byte, dir string) error {
	plain, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		return err
	}
	files := tar.NewReader(plain)
	for {
		head, err := files.Next()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		if head.Typeflag != tar.TypeReg {
			continue
		}
		name := path.Clean(head.Name)
		_, name, _ = strings.Cut(name, "/") // all names begin with "package/"
		if name == "" || !filepath.IsLocal(name) {
			return fmt.Errorf("file %q would be written outside the package", head.Name)
		}
		target := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(target), 0o755); err != nil {
			return err
		}
		content, err := io.ReadAll(files)
		if err != nil {
			return err
		}
		if err := os.WriteFile(target, content, 0o644); err != nil {
			return err
		}
	}
}

// bundle makes the one script from engine.js and the packages in work.
func bundle(work string) ([]byte, error) {
	entry, err := os.ReadFile("engine.js")
	if err != nil {
		return nil, err
	}
	result := api.Build(api.BuildOptions{
		Stdin:             &api.StdinOptions{Contents: string(entry), Sourcefile: "engine.js", ResolveDir: work},
		AbsWorkingDir:     work,
		Bundle:            true,
		Format:            api.FormatIIFE,
		Target:            api.ES2019,
		Charset:           api.CharsetASCII,
		MinifyWhitespace:  true,
		MinifyIdentifiers: true,
		MinifySyntax:      true,
		LegalComments:     api.LegalCommentsNone,
		Define:            map[string]string{"process.env.NODE_ENV": `"production"`},
		Banner:            map[string]string{"js": "/* The journal's chart engine. Contents: VERSION. Licences: LICENSE, NOTICE. */"},
		LogLevel:          api.LogLevelWarning,
		Outfile:           "charts-engine.js",
	})
	if len(result.Errors) > 0 {
		return nil, fmt.Errorf("bundle: %s", result.Errors[0].Text)
	}
	script := result.OutputFiles[0].Contents
	for _, banned := range []string{"new Function(", "eval("} {
		if bytes.Contains(script, []byte(banned)) {
			return nil, fmt.Errorf("bundle: contains %q, which the pages' security policy forbids", banned)
		}
	}
	return script, nil
}

// texts collects the licence texts, each under a head that names its package.
func texts(work string, packages []Package) (map[string][]byte, error) {
	files := map[string][]byte{}
	for _, p := range packages {
		for _, source := range []string{"LICENSE", "licenses/LICENSE-d3", "LICENSE.txt", "NOTICE"} {
			target, wanted := p.Texts[source]
			if !wanted {
				continue
			}
			content, err := os.ReadFile(filepath.Join(work, "node_modules", p.Name, filepath.FromSlash(source)))
			if err != nil {
				return nil, err
			}
			content = bytes.ReplaceAll(content, []byte("\r\n"), []byte("\n"))
			head := fmt.Sprintf("==== %s %s (%s): %s ====\n\n", p.Name, p.Version, p.Licence, source)
			if len(files[target]) > 0 {
				head = "\n" + head
			}
			files[target] = append(append(files[target], head...), append(bytes.TrimRight(content, "\n"), '\n')...)
		}
	}
	return files, nil
}

// version says what went in and what came out.
func version(packages []Package, script []byte) []byte {
	var b bytes.Buffer
	for _, p := range packages {
		fmt.Fprintf(&b, "%s %s %s %s\n", p.Name, p.Version, p.Licence, p.Integrity)
	}
	fmt.Fprintf(&b, "charts-engine.js %d bytes %s\n", len(script), digest(script))
	return b.Bytes()
}
