// Package cli is what the commands have in common before they act: help that
// never acts, words and flags that are known, and the nearest one to any other.
package cli

import (
	"fmt"
	"io"
	"runtime/debug"
	"slices"
	"strings"

	"overhang/internal/spell"
)

// Interrupted is what a program ends with that Ctrl-C ended, as shells have it: 128
// and the number of the signal.
const Interrupted = 130

// A Command is one thing a program does.
type Command struct {
	Name  string // "" is what it does without a word
	Args  string // what stands behind the flags
	About string
	Flags []Flag
	Files bool // words behind the flags are files of the user's
}

// A Flag is one flag; one with a value names it.
type Flag struct{ Name, Value, About string }

// A Program is a program of ours with all it does.
type Program struct {
	Name, About, Notes string
	Commands           []Command
}

// Answer answers help, version and completion, and refuses words and flags that
// are not known, before anything acts. done is false when the program should go
// on; the code is 0 after an answer and 2 after a refusal.
func (p *Program) Answer(args []string, out, errs io.Writer) (code int, done bool) {
	name, rest := "", args
	if len(args) > 0 && !strings.HasPrefix(args[0], "-") {
		switch args[0] {
		case "help":
			if len(args) > 1 {
				return p.help(args[1], out, errs), true
			}
			fmt.Fprint(out, p.usage())
			return 0, true
		case "version", "completion":
			if len(args) > 1 {
				return p.alone(args, out, errs), true
			}
		}
		switch args[0] {
		case "version":
			fmt.Fprintln(out, p.Name, version())
			return 0, true
		case "completion":
			fmt.Fprint(out, p.completion())
			return 0, true
		}
		if p.find(args[0]) != nil {
			name, rest = args[0], args[1:]
		} else if !p.find("").Files {
			return p.refuse(errs, "there is no command %q%s", args[0], near(args[0], p.names())), true
		}
	}
	c := p.find(name)
	if c == nil {
		return p.refuse(errs, "say what to do"), true
	}
	return p.check(c, rest, out, errs)
}

// alone answers a word that takes nothing behind it, with something behind it.
func (p *Program) alone(args []string, out, errs io.Writer) int {
	if helps(args[1]) {
		fmt.Fprint(out, p.usage())
		return 0
	}
	return p.refuse(errs, "%s takes nothing: there is no %q", args[0], args[1])
}

func helps(a string) bool { return a == "-h" || a == "--h" || a == "-help" || a == "--help" }

// check looks at the flags of a command: help among them wins.
func (p *Program) check(c *Command, args []string, out, errs io.Writer) (code int, done bool) {
	if slices.ContainsFunc(args, helps) {
		fmt.Fprint(out, p.about(c))
		return 0, true
	}
	for i := 0; i < len(args); i++ {
		a := args[i]
		if bare := !strings.HasPrefix(a, "-") || a == "-"; bare && c.Args == "" {
			return p.refuse(errs, "%q is one word too many", a), true
		} else if bare {
			continue
		}
		word, _, given := strings.Cut(strings.TrimLeft(a, "-"), "=")
		k := slices.IndexFunc(c.Flags, func(f Flag) bool { return f.Name == word })
		switch {
		case k < 0:
			return p.refuse(errs, "there is no flag %q%s", a, near("-"+word, c.flagWords())), true
		case c.Flags[k].Value == "" || given:
		case i+1 == len(args):
			return p.refuse(errs, "-%s needs %s", word, c.Flags[k].Value), true
		default:
			i++
		}
	}
	return 0, false
}

func (p *Program) refuse(errs io.Writer, format string, args ...any) int {
	fmt.Fprintf(errs, "%s: %s; %s help lists all there is. Nothing was done.\n", p.Name, fmt.Sprintf(format, args...),
		p.Name)
	return 2
}

func (p *Program) help(name string, out, errs io.Writer) int {
	if c := p.find(name); c != nil && name != "" {
		fmt.Fprint(out, p.about(c))
		return 0
	}
	return p.refuse(errs, "there is no command %q%s", name, near(name, p.names()))
}

func (p *Program) find(name string) *Command {
	for i := range p.Commands {
		if p.Commands[i].Name == name {
			return &p.Commands[i]
		}
	}
	return nil
}

func (p *Program) names() []string {
	out := []string{"help", "version", "completion"}
	for i := range p.Commands {
		if n := p.Commands[i].Name; n != "" {
			out = append(out, n)
		}
	}
	return out
}

func (p *Program) usage() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n\n", p.About)
	for i := range p.Commands {
		c := &p.Commands[i]
		fmt.Fprintf(&b, "  %s\n      %s\n", c.line(p), c.About)
	}
	fmt.Fprintf(&b, "  %s help [COMMAND], %s version, %s completion (for bash)\n\n%s", p.Name, p.Name, p.Name, p.Notes)
	if c := p.find(""); c != nil {
		b.WriteString("\nFlags without a command:\n" + c.flags())
	}
	return b.String()
}

func (p *Program) about(c *Command) string {
	return fmt.Sprintf("%s\n    %s\n\n%s\n%s", c.line(p), c.About, c.flags(), p.Notes)
}

func (c *Command) line(p *Program) string {
	return strings.Join(strings.Fields(p.Name+" "+c.Name+" [FLAGS] "+c.Args), " ")
}

func (c *Command) flags() string {
	var b strings.Builder
	for _, f := range c.Flags {
		fmt.Fprintf(&b, "  %-26s %s\n", strings.TrimSpace("-"+f.Name+" "+f.Value), f.About)
	}
	return b.String()
}

// completion is a script for bash: words first, then flags.
func (p *Program) completion() string {
	var cases strings.Builder
	for i := range p.Commands {
		c := &p.Commands[i]
		if c.Name != "" {
			fmt.Fprintf(&cases, "    %s) words=%q ;;\n", c.Name, strings.Join(c.flagWords(), " "))
		}
	}
	first := p.names()
	if c := p.find(""); c != nil {
		first = append(first, c.flagWords()...)
	}
	return fmt.Sprintf(`_%[1]s() {
  local words=%[2]q
  case "${COMP_WORDS[1]}" in
%[3]s  esac
  COMPREPLY=($(compgen -f -W "$words" -- "${COMP_WORDS[COMP_CWORD]}"))
}
complete -F _%[1]s %[1]s
`, p.Name, strings.Join(first, " "), cases.String())
}

// flagWords are a command's flags as one writes them.
func (c *Command) flagWords() (out []string) {
	for _, f := range c.Flags {
		out = append(out, "-"+f.Name)
	}
	return out
}

// near is the known word that looks most like one, as an aside.
func near(word string, known []string) string {
	best, least := "", len(word)/2+2
	for _, k := range known {
		if d := spell.Edits(word, k); d < least {
			best, least = k, d
		}
	}
	if best == "" {
		return ""
	}
	return fmt.Sprintf(" (the nearest is %s)", best)
}

// version is the build's, as Go stamps it.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "(unknown build)"
	}
	out := info.Main.Version
	for _, s := range info.Settings {
		if s.Key == "vcs.revision" && len(s.Value) >= 12 {
			out += " " + s.Value[:12]
		}
	}
	return out + " " + info.GoVersion
}
