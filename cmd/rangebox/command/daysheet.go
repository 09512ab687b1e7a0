package command

import (
	"os"
	"path/filepath"
	"strings"

	"github.com/google/uuid"
	"github.com/spf13/cobra"

	"rangebox/cmd/rangebox/answer"
	"rangebox/cmd/rangebox/report"
	"rangebox/compat"
	"rangebox/inventory"
)

func newDaySheet(g *global) *cobra.Command {
	var file string
	c := &cobra.Command{
		Use:   "sheet DAY -o FILE",
		Short: "a page to print, or for the phone: what to take, and a card per flight",
		Long: "Writes one page (HTML) that needs nothing but a browser: what to take along,\n" +
			"place by place, with boxes to tick, and a card for each flight. It rests on what\n" +
			"`day pack` promised, and says so where that is not there or has changed since.\n" +
			"Print it on A4 or Letter, or read it on a phone.",
		Example: "  rangebox day pack 2027-04-17\n  rangebox day sheet 2027-04-17 -o sheet.html",
		Args:    args("DAY"),
		RunE: func(_ *cobra.Command, given []string) error {
			if err := g.noLists(); err != nil {
				return err
			}
			if err := isPage(file); err != nil {
				return err
			}
			return runDaySheet(g, given[0], file)
		},
	}
	c.Flags().StringVarP(&file, "out", "o", "", "write to `FILE` (.html)")
	return c
}

// isPage refuses names under which no browser would open a page.
func isPage(file string) error {
	switch strings.ToLower(filepath.Ext(file)) {
	case ".html", ".htm":
		return nil
	}
	if file == "" {
		return misused("add -o FILE.html", "there is no file to write the page to")
	}
	return misused("end it in .html", "%q is no name for a page", inventory.Printable(file))
}

func runDaySheet(g *global, name, file string) error {
	q, _, err := g.loadDay(name)
	if err != nil {
		return err
	}
	limits, err := compat.LimitsFrom(q.Box.Settings())
	if err != nil {
		return err
	}
	sheet, err := compat.SheetOf(q, limits)
	if err != nil {
		return err
	}
	out := answer.SheetOf(q, sheet, labelTails(q.Box), g.textSystem())
	out.File, out.Written = file, g.env.Now().Format("2006-01-02 15:04")
	err = g.writeWhole(file, func(f *os.File) error { return report.Sheet(f, g.look(), out) })
	if err != nil {
		return err
	}
	if g.format == asJSON {
		return g.printJSON(out)
	}
	if g.quiet {
		return nil
	}
	return report.SheetWritten(g.env.Out, g.look(), out)
}

// labelTails are what lots are called on paper, by id: six signs or more, so that
// they still tell lots apart when others have come in.
func labelTails(box *inventory.Box) map[string]string {
	var ids []uuid.UUID
	for _, lot := range inventory.List[*inventory.Lot](box) {
		ids = append(ids, lot.ID)
	}
	out := make(map[string]string, len(ids))
	for id, tail := range tails(ids) {
		text := id.String()
		out[text] = text[len(text)-max(len(tail), paperTail):]
	}
	return out
}

const paperTail = 6
