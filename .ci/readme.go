//go:build ignore

// Command readme runs what a README shows and holds the output to what it says.
//
//	go run .ci/readme.go [-update] [-bin DIR] README.md
//
// In a block fenced as console, a line that begins with "$ " is a command for
// bash, run in the present directory; the lines after it, up to the next
// command or the end of the block, are its output. A Go block is a program; the
// plain block after it is what it prints. White space at line ends does not
// count. With -bin, "go run ./examples/NAME" runs the binary DIR/NAME. -update
// writes the output found into the file instead.
package main

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
)

func main() {
	update := flag.Bool("update", false, "write the output found into the file")
	bin := flag.String("bin", "", "directory of built examples")
	flag.Parse()
	if err := run(flag.Arg(0), *bin, *update); err != nil {
		fmt.Fprintln(os.Stderr, "readme:", err)
		os.Exit(1)
	}
}

func run(name, bin string, update bool) error {
	src, err := os.ReadFile(name)
	if err != nil {
		return err
	}
	lines := strings.Split(string(src), "\n")
	var out []string
	commands, differ := 0, 0
	check := func(line int, what string, want []string, got string) {
		commands++
		found := trimmed(got)
		if strings.Join(found, "\n") != strings.Join(trimmed(strings.Join(want, "\n")), "\n") {
			differ++
			if !update {
				fmt.Fprintf(os.Stderr, "%s:%d: %s\n--- README\n%s\n--- found\n%s\n", name, line, what, strings.Join(want, "\n"), strings.Join(found, "\n"))
			}
		}
		out = append(out, found...)
	}
	program := "" // of the last Go block, until its output came
	for i := 0; i < len(lines); i++ {
		fence, ok := strings.CutPrefix(lines[i], "```")
		out = append(out, lines[i])
		if !ok {
			continue
		}
		end := i + 1
		for end < len(lines) && lines[end] != "```" {
			end++
		}
		if end == len(lines) {
			return fmt.Errorf("%s:%d: a block without end", name, i+1)
		}
		block := lines[i+1 : end]
		switch {
		case fence == "console":
			for k := 0; k < len(block); {
				command, ok := strings.CutPrefix(block[k], "$ ")
				if !ok {
					return fmt.Errorf("%s:%d: found %q, expected a command", name, i+2+k, block[k])
				}
				next := k + 1
				for next < len(block) && !strings.HasPrefix(block[next], "$ ") {
					next++
				}
				got, err := shell(command, bin)
				if err != nil {
					return fmt.Errorf("%s:%d: %s: %w\n%s", name, i+2+k, command, err, got)
				}
				out = append(out, block[k])
				check(i+2+k, command, block[k+1:next], got)
				k = next
			}
		case fence == "" && program != "":
			got, err := goRun(program)
			if err != nil {
				return fmt.Errorf("%s:%d: the program before: %w\n%s", name, i+1, err, got)
			}
			check(i+1, "the program before prints", block, got)
			program = ""
		default:
			if fence == "go" {
				program = strings.Join(block, "\n")
			}
			out = append(out, block...)
		}
		out = append(out, "```")
		i = end
	}
	if program != "" {
		return fmt.Errorf("%s: a program without its output", name)
	}
	fmt.Printf("%s: %d commands run, %d outputs differ\n", name, commands, differ)
	if update {
		return os.WriteFile(name, []byte(strings.Join(out, "\n")), 0o644)
	}
	if differ > 0 {
		return fmt.Errorf("%d outputs differ: look at them, then go run .ci/readme.go -update %s", differ, name)
	}
	return nil
}

// trimmed splits an output into lines without white space at their ends.
func trimmed(text string) []string {
	text = strings.TrimRight(text, "\n")
	if text == "" {
		return nil
	}
	lines := strings.Split(text, "\n")
	for i := range lines {
		lines[i] = strings.TrimRight(lines[i], " \t")
	}
	return lines
}

var example = regexp.MustCompile(`go run \./examples/([a-z]+)`)

// shell runs a command and returns what it printed.
func shell(command, bin string) (string, error) {
	if bin != "" {
		dir, err := filepath.Abs(bin)
		if err != nil {
			return "", err
		}
		command = example.ReplaceAllString(command, dir+"/$1")
	}
	got, err := exec.Command("bash", "-o", "pipefail", "-c", command).CombinedOutput()
	return string(got), err
}

// goRun runs a program of one file within the module.
func goRun(program string) (string, error) {
	dir, err := os.MkdirTemp("", "readme")
	if err != nil {
		return "", err
	}
	defer os.RemoveAll(dir)
	file := filepath.Join(dir, "main.go")
	if err := os.WriteFile(file, []byte(program), 0o644); err != nil {
		return "", err
	}
	var out bytes.Buffer
	c := exec.Command("go", "run", file)
	c.Stdout, c.Stderr = &out, &out
	err = c.Run()
	return out.String(), err
}
