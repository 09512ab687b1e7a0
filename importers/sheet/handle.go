package sheet

import (
	"strconv"
	"strings"

	"rangebox/inventory"
)

// longest handle that is taken.
const longestHandle = 40

// folded letters of Western names; others are left out of a handle.
var folded = strings.NewReplacer("à", "a", "á", "a", "â", "a", "ã", "a", "ä", "a", "å", "a", "æ", "ae", "ç", "c",
	"è", "e", "é", "e", "ê", "e", "ë", "e", "ì", "i", "í", "i", "î", "i", "ï", "i", "ñ", "n", "ò", "o", "ó", "o", "ô", "o",
	"õ", "o", "ö", "o", "ø", "o", "ß", "ss", "ù", "u", "ú", "u", "û", "u", "ü", "u", "ý", "y", "ÿ", "y", "œ", "oe")

// slug makes a handle of a name: lower case, dashes for all that a handle cannot
// have. It is empty where nothing is left.
func slug(name string) string {
	var b strings.Builder
	dash := false
	for _, r := range folded.Replace(strings.ToLower(name)) {
		if r >= 'a' && r <= 'z' || r >= '0' && r <= '9' || r == '.' && b.Len() > 0 && !dash {
			if dash && b.Len() > 0 {
				b.WriteByte('-')
			}
			dash = false
			b.WriteRune(r)
			continue
		}
		dash = true
	}
	s := b.String()
	return strings.TrimRight(s[:min(len(s), longestHandle)], "-.")
}

// slugOf is the handle that maker and name of a record give.
func slugOf(rec inventory.Record) string {
	maker, name := textOf(rec, "maker"), textOf(rec, "name")
	if name == "" {
		return ""
	}
	return slug(maker + " " + name)
}

func textOf(rec inventory.Record, key string) string {
	f, ok := rec.Kind().Info().Table.Field(key)
	if !ok {
		return ""
	}
	text, _ := f.Text(rec)
	return text
}

// index is what a file's records are called.
type index struct {
	handles map[string]*pending // kind/handle
	aliases map[string]string   // kind/slug of a name: handle; empty where several have it
}

func (x *index) add(rec inventory.Record) {
	kind, handle := string(rec.Kind()), rec.Base().Handle
	for _, alias := range []string{slugOf(rec), slug(textOf(rec, "name"))} {
		if alias == "" {
			continue
		}
		key := kind + "/" + alias
		if other, taken := x.aliases[key]; taken && other != handle {
			x.aliases[key] = ""
			continue
		}
		x.aliases[key] = handle
	}
}

// find gives the handle that a text means in a file, if it is of the kind.
func (x *index) find(kind inventory.Kind, text string) (string, bool) {
	key := string(kind) + "/" + text
	if x.handles[key] != nil {
		return text, true
	}
	handle := x.aliases[key]
	return handle, handle != ""
}

// name gives handles to the records that have none: those made of maker and
// name, with a number where one is taken. The order of the file decides, so that
// the same file gives the same handles.
func (in *reader) name() *index {
	x := &index{handles: map[string]*pending{}, aliases: map[string]string{}}
	for _, p := range in.records {
		if head := p.rec.Base(); p.rec.Kind().Info().Handled && head.Handle != "" {
			in.claim(x, p)
		}
	}
	for _, p := range in.records {
		if head := p.rec.Base(); p.rec.Kind().Info().Handled && head.Handle == "" {
			head.Handle = x.free(p.rec)
			p.made, p.taken = true, x.handles[string(p.rec.Kind())+"/"+slugOf(p.rec)]
			if head.Handle == "" && !p.about("handle") {
				in.complain(p, p.rows[0], "", refuse("nothing", "a handle or a name", "the row has neither handle nor name to call it by"))
				continue
			}
			in.claim(x, p)
		}
	}
	for _, p := range in.records {
		if p.rec.Base().Handle != "" {
			x.add(p.rec)
		}
	}
	return x
}

// about tells whether the record's handle was complained of already.
func (p *pending) about(key string) bool {
	b := p.layout.about(key)
	for _, issue := range p.issues {
		if b != nil && issue.Column == b.place() {
			return true
		}
	}
	return false
}

func (in *reader) claim(x *index, p *pending) {
	handle := p.rec.Base().Handle
	if handle == "" {
		return
	}
	key := string(p.rec.Kind()) + "/" + handle
	if before := x.handles[key]; before != nil {
		in.complain(p, p.rows[0], p.layout.placeOf("handle"), refuse(quoted(handle), "a handle of its own", "the %s %q is there twice, first in row %d", p.rec.Kind(), handle, before.rows[0].number))
		return
	}
	x.handles[key] = p
}

func (l *layout) placeOf(key string) string {
	if b := l.about(key); b != nil {
		return b.place()
	}
	return ""
}

func (x *index) free(rec inventory.Record) string {
	made := slugOf(rec)
	if made == "" {
		return ""
	}
	handle := made
	for n := 2; x.handles[string(rec.Kind())+"/"+handle] != nil; n++ {
		ending := "-" + strconv.Itoa(n)
		handle = strings.TrimRight(made[:min(len(made), longestHandle-len(ending))], "-.") + ending
	}
	return handle
}
