package sheet

import (
	"fmt"
	"sort"

	"rangebox/importers"
	"rangebox/inventory"
)

// Options is what the person who imports has said about the file.
type Options struct {
	// Kind is the kind of record, by name or plural; empty: it is recognised.
	Kind string
	// Map names our field for their header; "-" leaves the column out.
	Map map[string]string
}

// Result is what was read of a file.
type Result struct {
	// Batch holds the records that are right.
	Batch *inventory.Batch
	// Issues is every complaint, in the file's order; a hundred at most, and a
	// last one that counts the others.
	Issues importers.Issues
	// Unsure is what has to be asked before anything can be taken in.
	Unsure []Doubt
	// Rejected is the rows that the complaints are about.
	Rejected []Rejected
	// Sheets tells what each sheet was taken for.
	Sheets []Sheet
	// Mapped tells what the mapped columns were taken for.
	Mapped []Mapped

	file    string
	origins []*pending // beside Batch.Items
	more    int        // complaints that are not listed
}

// Sheet is what a sheet was taken for.
type Sheet struct {
	Name string // empty in a text table
	// Kind is empty for a sheet that was passed over: it has no table of records.
	Kind inventory.Kind
	// Header is the row of the headers, Rows how many rows of data there are.
	Header, Rows int
}

// Doubt is a question about a header, or about the kind of a sheet.
type Doubt struct {
	Sheet string
	Row   int
	// Column is the header's place, C; empty where the kind is asked for.
	Column string
	// Header is the text that stands there.
	Header string
	// Why says what is unclear, in words.
	Why string
	// Candidates are fields it may mean, the likeliest first; for a sheet, kinds.
	Candidates []string
	// Mend says what to write in the file, where no field in the flag can help.
	Mend string

	lex *lexicon // of the sheet's kind
}

// Flag is what to type: --map "Their header=our_field" or --kind KIND.
func (d Doubt) Flag() string {
	if d.Column == "" {
		return "--kind " + first(d.Candidates, "KIND")
	}
	return fmt.Sprintf("--map %q", d.Header+"="+first(d.Candidates, "our_field"))
}

// Takes tells whether something that a person typed can answer it: a kind; a field of
// the sheet's kind, or the plain word for one; or a dash, which leaves a column out.
func (d Doubt) Takes(text string) bool {
	if d.Column == "" {
		_, ok := inventory.KindNamed(text)
		return ok
	}
	return text == "-" || d.lex.named(text) != nil
}

func first(list []string, otherwise string) string {
	if len(list) == 0 {
		return otherwise
	}
	return list[0]
}

// Rejected is a row that was not taken in.
type Rejected struct {
	Sheet   string
	Row     int
	Header  []string
	Cells   []string
	Reasons []string

	delimiter rune // with which its cells are read as in its sheet
}

// Made is a handle that was made of maker and name.
type Made struct {
	Sheet  string
	Row    int
	Kind   inventory.Kind
	Handle string
	// Of is what maker and name give, where the record of row TakenBy has that.
	Of      string
	TakenBy int
}

// Made lists the handles that were made for the batch, in its order.
func (r *Result) Made() []Made {
	var list []Made
	for i, p := range r.origins {
		if !p.made {
			continue
		}
		head := r.Batch.Items[i].Record.Base()
		m := Made{Sheet: p.layout.grid.name, Row: p.rows[0].number, Kind: p.rec.Kind(), Handle: head.Handle}
		if p.taken != nil {
			m.Of, m.TakenBy = p.taken.rec.Base().Handle, p.taken.rows[0].number
		}
		list = append(list, m)
	}
	return list
}

// maxIssues is how many complaints are listed of one file (ours).
const maxIssues = 100

// Err is the refusal of the whole file, nil where nothing is wrong with it: what
// is unsure, with the line to type, then the complaints.
func (r *Result) Err() error {
	var all importers.Issues
	for _, d := range r.Unsure {
		all = append(all, d.issue(r.file))
	}
	all = append(all, r.Issues...)
	if len(all) == 0 {
		return nil
	}
	return all
}

func (d Doubt) issue(file string) importers.Issue {
	issue := importers.Issue{File: file, Sheet: d.Sheet, Row: d.Row}
	text := d.Why + "; say " + d.Flag()
	if d.Mend != "" {
		text = d.Why + "; " + d.Mend
	}
	if d.Column != "" {
		issue.Column = place(d.Column, d.Header)
		issue.Found = fmt.Sprintf("%q", inventory.Printable(d.Header))
		issue.Expected = "the name of a field"
		text += fmt.Sprintf(", or --map %q to leave it out", d.Header+"=-")
	}
	issue.Err = fmt.Errorf("%w: %s", inventory.ErrInvalid, text)
	return issue
}

// place is how complaints name a column: its letter and its header.
func place(letter, header string) string {
	if header == "" {
		return "column " + letter
	}
	return fmt.Sprintf("column %s %q", letter, inventory.Printable(header))
}

// Drop takes the items that problems name out of the batch and rejects their
// rows. Others may have pointed to them: prepare the batch again.
func (r *Result) Drop(problems []inventory.Problem) {
	why := map[int]importers.Issues{}
	for _, p := range problems {
		issue := r.IssueOf(p)
		why[p.Item] = append(why[p.Item], issue)
		r.list(issue)
	}
	kept, origins := r.Batch.Items[:0], r.origins[:0]
	for i, item := range r.Batch.Items {
		if issues, bad := why[i]; bad {
			r.reject(r.origins[i], issues)
			continue
		}
		kept, origins = append(kept, item), append(origins, r.origins[i])
	}
	r.Batch.Items, r.origins = kept, origins
	r.close()
	r.inOrder()
}

// Settle prepares the batch against a box and drops what is refused, until what
// is left stands by itself.
func (r *Result) Settle(box inventory.Directory) {
	for {
		problems := r.Batch.Prepare(box)
		if len(problems) == 0 {
			return
		}
		r.Drop(problems)
	}
}

// IssueOf gives a problem with an item of the batch its place in the file.
func (r *Result) IssueOf(p inventory.Problem) importers.Issue {
	o := r.origins[p.Item]
	return o.issue(r.file, p.Path, p.Err)
}

func (r *Result) list(issue importers.Issue) {
	if len(r.Issues) >= maxIssues {
		r.more++
		return
	}
	r.Issues = append(r.Issues, issue)
}

// close ends the list with how many complaints are not on it.
func (r *Result) close() {
	if r.more == 0 {
		return
	}
	r.Issues = append(r.Issues[:maxIssues], importers.Unlisted(r.file, r.more))
}

func (r *Result) reject(p *pending, issues importers.Issues) {
	for _, row := range p.rows {
		r.Rejected = append(r.Rejected, p.layout.rejected(row, reasonsOf(row.number, issues)))
	}
}

// inOrder sorts the rejected rows as the file has them.
func (r *Result) inOrder() {
	at := map[string]int{}
	for i, s := range r.Sheets {
		at[s.Name] = i
	}
	sort.SliceStable(r.Rejected, func(i, j int) bool {
		a, b := r.Rejected[i], r.Rejected[j]
		if a.Sheet != b.Sheet {
			return at[a.Sheet] < at[b.Sheet]
		}
		return a.Row < b.Row
	})
}
