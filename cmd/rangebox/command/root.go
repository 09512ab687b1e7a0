package command

import (
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// global holds the flags that every command takes, as typed and as understood.
type global struct {
	env *Env

	db, output, on, at, units   string
	strict, yes, quiet, noColor bool

	format format
	onDate inventory.Date
	system quantity.System
}

// format is how answers are written.
type format string

const (
	asTable    format = "table"
	asJSON     format = "json"
	asCSV      format = "csv"
	asMarkdown format = "markdown"
)

// Run runs the program and returns its exit status.
func Run(env *Env, args []string) int {
	out := &watched{w: env.Out}
	within := *env
	within.Out = out
	g := &global{env: &within}
	root := newRoot(g)
	root.SetArgs(args)
	root.SetIn(env.In)
	root.SetOut(out)
	root.SetErr(env.Err)
	err := root.Execute()
	if err == nil && out.err != nil {
		err = advise(fmt.Errorf("writing the answer: %w", cause(out.err)), "check where the output goes")
	}
	if err != nil {
		tell(env, err, wantsJSON(args))
	}
	return exitStatus(err)
}

// watched is an output that remembers its first failure, so that an answer that
// nobody got is no success.
type watched struct {
	w   io.Writer
	err error
}

func (o *watched) Write(p []byte) (int, error) {
	n, err := o.w.Write(p)
	if err != nil && o.err == nil {
		o.err = err
	}
	return n, err
}

// wantsJSON looks for --output json in the arguments, since on misuse the flags
// have not been read.
func wantsJSON(args []string) bool {
	for i, a := range args {
		if a == "--output=json" || a == "--output" && i+1 < len(args) && args[i+1] == "json" {
			return true
		}
	}
	return false
}

func newRoot(g *global) *cobra.Command {
	root := &cobra.Command{
		Use:   "rangebox",
		Short: "the box of motors and igniters, and what decides a launch day",
		Long: "rangebox keeps a rocket flyer's box of motors, igniters, batteries and powder,\n" +
			"and answers what decides a launch day: which igniter fits this nozzle and lights\n" +
			"this propellant, do its leads reach, will the battery fire it on a bad day.\n\n" +
			"Begin with `rangebox demo`.",
		SilenceUsage: true, SilenceErrors: true,
		PersistentPreRunE: func(*cobra.Command, []string) error { return g.understand() },
	}
	root.CompletionOptions.HiddenDefaultCmd = true
	root.SetFlagErrorFunc(func(c *cobra.Command, err error) error {
		if below := takenForFlag(c, err); below != nil {
			return below
		}
		said, _, _ := strings.Cut(err.Error(), ": strconv.") // the parser's own words help nobody
		return misused(flagHint(c, err), "%s", said)
	})
	root.SetUsageTemplate(strings.ReplaceAll(root.UsageTemplate(), ".FlagUsages ", fmt.Sprintf(".FlagUsagesWrapped %d ", g.env.Width)))
	g.flags(root)
	root.AddGroup(&cobra.Group{ID: groupAsk, Title: "Ask:"}, &cobra.Group{ID: groupBox, Title: "The box:"}, &cobra.Group{ID: groupFiles, Title: "Files:"})
	for _, c := range commands() {
		sub := c.make(g)
		sub.GroupID = c.group
		root.AddCommand(sub)
	}
	g.completions(root)
	grouped(root)
	return root
}

// flagHint names the flag that was probably meant.
func flagHint(c *cobra.Command, err error) string {
	see := "see `" + c.CommandPath() + " --help`"
	_, typed, ok := strings.Cut(err.Error(), "unknown flag: --")
	if !ok {
		return see
	}
	var known []string
	add := func(f *pflag.Flag) { known = append(known, f.Name) }
	c.Flags().VisitAll(add)
	c.InheritedFlags().VisitAll(add)
	if near, ok := inventory.Nearest(typed, known); ok {
		return "did you mean --" + near + "? " + see
	}
	return see
}

// The groups of commands in the help.
const (
	groupAsk   = "ask"
	groupBox   = "box"
	groupFiles = "files"
)

// commands is the list of commands: to add one, its file and a line here.
func commands() []entry {
	list := []entry{
		{groupAsk, newDemo},
		{groupAsk, newFits},
		{groupBox, newStock},
		{groupFiles, newImport},
		{groupFiles, newExport},
		{groupFiles, newBackup},
		{groupFiles, newRestore},
		{groupFiles, newMerge},
		{groupFiles, newVerify},
		{groupAsk, newDay},
		{groupBox, newReading},
		{groupBox, newSettings},
	}
	return append(list, catalogueCommands()...)
}

// entry is a command and the group of the help it stands in.
type entry struct {
	group string
	make  func(*global) *cobra.Command
}

// grouped makes commands that only hold others say what they hold, and refuse
// what they do not.
func grouped(c *cobra.Command) {
	if c.HasSubCommands() && c.RunE == nil {
		c.Args = cobra.ArbitraryArgs
		c.RunE = func(c *cobra.Command, args []string) error {
			if len(args) == 0 {
				return c.Help()
			}
			return misused(suggestion(c, args[0]), "%s has no command %q", c.CommandPath(), inventory.Printable(args[0]))
		}
	}
	for _, sub := range c.Commands() {
		grouped(sub)
	}
}

func suggestion(c *cobra.Command, typed string) string {
	c.SuggestionsMinimumDistance = 2
	if near := c.SuggestionsFor(typed); len(near) > 0 {
		return fmt.Sprintf("did you mean `%s %s`?", c.CommandPath(), near[0])
	}
	return "see `" + c.CommandPath() + " --help`"
}

func (g *global) flags(root *cobra.Command) {
	f := root.PersistentFlags()
	f.StringVar(&g.db, "db", "", "the box's `FILE` (else RANGEBOX_DB, else your data directory)")
	f.StringVar(&g.output, "output", "table", "table, json, or for plain lists csv or markdown")
	f.StringVar(&g.on, "on", "", "`DATE` on which expiry and certification are judged (today if not given)")
	f.StringVar(&g.at, "at", "", "`TIME` of a ledger entry (now if not given)")
	f.StringVar(&g.units, "units", "metric", "metric or imperial, in text")
	f.BoolVar(&g.strict, "strict", false, "exit with 3 where the answer is not go")
	f.BoolVar(&g.yes, "yes", false, "answer yes to every question")
	f.BoolVar(&g.quiet, "quiet", false, "print nothing but answers and errors")
	f.BoolVar(&g.noColor, "no-color", false, "no colour")
}

// understand reads the global flags; what is wrong with them is misuse.
func (g *global) understand() error {
	g.format = format(g.output)
	switch g.format {
	case asTable, asJSON, asCSV, asMarkdown:
	default:
		return misused("write --output table, json, csv or markdown", "there is no output %q", inventory.Printable(g.output))
	}
	switch strings.ToLower(g.units) {
	case "metric":
		g.system = quantity.Metric
	case "imperial":
		g.system = quantity.Imperial
	default:
		return misused("write --units metric or --units imperial", "there are no units %q", inventory.Printable(g.units))
	}
	g.onDate = inventory.DateOf(g.env.Now())
	if g.on == "" {
		return nil
	}
	day, err := inventory.ParseDate(g.on)
	if err != nil {
		return misused("write it as 2027-04-17", "--on %q is not a date", inventory.Printable(g.on))
	}
	g.onDate = day
	return nil
}

// noLists refuses csv and markdown where the answer is no plain list.
func (g *global) noLists() error {
	if g.format == asCSV || g.format == asMarkdown {
		return misused("use --output table or --output json", "this answer is no plain list and has no %s form", g.format)
	}
	return nil
}

// colour tells whether text may be coloured.
func (g *global) colour() bool {
	return !g.noColor && g.env.Getenv("NO_COLOR") == "" && g.env.OutTerminal
}

// moment is the time of a ledger entry.
func (g *global) moment() (time.Time, error) {
	if g.at == "" {
		return g.env.Now().UTC(), nil
	}
	for _, layout := range []string{time.RFC3339, "2006-01-02T15:04", "2006-01-02 15:04", time.DateOnly} {
		if t, err := time.ParseInLocation(layout, g.at, time.Local); err == nil {
			return t.UTC(), nil
		}
	}
	return time.Time{}, misused("write it as 2027-04-17T10:30:00Z, or 2027-04-17 10:30 for local time", "--at %q is not a time", inventory.Printable(g.at))
}

// called is a command's name within a sentence, which begins with the program's.
func called(c *cobra.Command) string {
	return strings.TrimPrefix(c.CommandPath(), c.Root().Name()+" ")
}

// args asks for arguments by their names.
func args(names ...string) cobra.PositionalArgs {
	return func(c *cobra.Command, got []string) error {
		switch {
		case len(got) < len(names):
			return misused("see `"+c.CommandPath()+" --help`", "%s needs %s", called(c), strings.Join(names[len(got):], " and "))
		case len(got) > len(names):
			return misused("see `"+c.CommandPath()+" --help`", "%s does not take %q", called(c), inventory.Printable(got[len(names)]))
		}
		return nil
	}
}
