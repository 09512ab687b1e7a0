package inventory

import (
	"slices"
	"time"

	"github.com/google/uuid"

	"rangebox/inventory/quantity"
)

// The constructors below bind a row of a table to a field of a Go struct. They
// are typed, so that a unit of length cannot be bound to a mass.

func text[R any](num int, key, help string, p func(*R) *string) Field {
	return Field{Num: num, Key: key, Help: help, Type: TypeText, at: access{
		get: func(rec any) (any, bool) { s := *p(rec.(*R)); return s, s != "" },
		set: func(rec any, v any) { *p(rec.(*R)), _ = v.(string) },
	}}
}

// openWord is text with words that are known and others that are taken as well.
func openWord[R any](num int, key, help string, words []string, p func(*R) *string) Field {
	f := text(num, key, help, p)
	f.Words, f.Open = words, true
	return f
}

// word binds an enumeration: value i+1 is words[i], 0 is not known.
func word[R any, E ~uint8](num int, key, help string, words []string, p func(*R) *E) Field {
	return Field{Num: num, Key: key, Help: help, Type: TypeWord, Words: words, at: access{
		get: func(rec any) (any, bool) {
			e := *p(rec.(*R))
			if e == 0 {
				return nil, false
			}
			return words[e-1], true
		},
		set: func(rec any, v any) { *p(rec.(*R)) = E(position(words, v)) },
	}}
}

func position(words []string, v any) int {
	for i, w := range words {
		if w == v {
			return i + 1
		}
	}
	return 0
}

func words[R any](num int, key, help string, list []string, p func(*R) *[]string) Field {
	return Field{Num: num, Key: key, Help: help, Type: TypeWords, Words: list, at: access{
		get: func(rec any) (any, bool) { s := *p(rec.(*R)); return s, len(s) > 0 },
		set: func(rec any, v any) { *p(rec.(*R)), _ = v.([]string) },
	}}
}

func number[R any, Q quantity.Quantity](num int, key string, u quantity.Unit[Q], sign Sign, help string, p func(*R) *quantity.Opt[Q]) Field {
	return Field{Num: num, Key: key, Help: help, Type: TypeNumber, Scale: u.Scale, Sign: sign, at: access{
		get: func(rec any) (any, bool) {
			q, ok := p(rec.(*R)).Get()
			return int64(q), ok
		},
		set: func(rec any, v any) {
			n, ok := v.(int64)
			*p(rec.(*R)) = quantity.Opt[Q]{}
			if ok {
				*p(rec.(*R)) = quantity.Some(Q(n))
			}
		},
	}}
}

// must binds a number that is always known (the points of a curve).
func must[R any, Q quantity.Quantity](num int, key string, u quantity.Unit[Q], sign Sign, help string, p func(*R) *Q) Field {
	return Field{Num: num, Key: key, Help: help, Type: TypeNumber, Scale: u.Scale, Sign: sign, at: access{
		get: func(rec any) (any, bool) { return int64(*p(rec.(*R))), true },
		set: func(rec any, v any) { n, _ := v.(int64); *p(rec.(*R)) = Q(n) },
	}}
}

func numbers[R any, Q quantity.Quantity](num int, key string, u quantity.Unit[Q], help string, p func(*R) *[]Q) Field {
	return Field{Num: num, Key: key, Help: help, Type: TypeNumbers, Scale: u.Scale, at: access{
		get: func(rec any) (any, bool) {
			list := *p(rec.(*R))
			steps := make([]int64, len(list))
			for i, q := range list {
				steps[i] = int64(q)
			}
			return steps, len(list) > 0
		},
		set: func(rec any, v any) {
			steps, _ := v.([]int64)
			list := make([]Q, len(steps))
			for i, n := range steps {
				list[i] = Q(n)
			}
			*p(rec.(*R)) = list
			if len(list) == 0 {
				*p(rec.(*R)) = nil
			}
		},
	}}
}

func flag[R any](num int, key, help string, p func(*R) *quantity.Opt[bool]) Field {
	return Field{Num: num, Key: key, Help: help, Type: TypeFlag, at: access{
		get: func(rec any) (any, bool) { b, ok := p(rec.(*R)).Get(); return b, ok },
		set: func(rec any, v any) {
			b, ok := v.(bool)
			*p(rec.(*R)) = quantity.Opt[bool]{}
			if ok {
				*p(rec.(*R)) = quantity.Some(b)
			}
		},
	}}
}

func date[R any](num int, key, help string, p func(*R) *Date) Field {
	return Field{Num: num, Key: key, Help: help, Type: TypeDate, at: access{
		get: func(rec any) (any, bool) { d := *p(rec.(*R)); return d, !d.IsZero() },
		set: func(rec any, v any) { *p(rec.(*R)), _ = v.(Date) },
	}}
}

func moment[R any](num int, key, help string, p func(*R) *time.Time) Field {
	return Field{Num: num, Key: key, Help: help, Type: TypeMoment, at: access{
		get: func(rec any) (any, bool) { t := *p(rec.(*R)); return t, !t.IsZero() },
		set: func(rec any, v any) { *p(rec.(*R)), _ = v.(time.Time) },
	}}
}

func ident[R any](num int, key, help string, p func(*R) *uuid.UUID) Field {
	return Field{Num: num, Key: key, Help: help, Type: TypeID, at: access{
		get: func(rec any) (any, bool) { id := *p(rec.(*R)); return id, id != uuid.Nil },
		set: func(rec any, v any) { *p(rec.(*R)), _ = v.(uuid.UUID) },
	}}
}

func ref[R any](num int, key, help string, kinds []Kind, p func(*R) *Ref) Field {
	return Field{Num: num, Key: key, Help: help, Type: TypeRef, Refers: kinds, at: access{
		get: func(rec any) (any, bool) { r := *p(rec.(*R)); return r, !r.IsZero() },
		set: func(rec any, v any) { *p(rec.(*R)), _ = v.(Ref) },
		ref: func(rec any) *Ref { return p(rec.(*R)) },
	}}
}

func pairs[R any](num int, key, help string, p func(*R) *map[string]string) Field {
	return Field{Num: num, Key: key, Help: help, Type: TypeMap, at: access{
		get: func(rec any) (any, bool) { m := *p(rec.(*R)); return m, len(m) > 0 },
		set: func(rec any, v any) { *p(rec.(*R)), _ = v.(map[string]string) },
	}}
}

func parts[R, E any](num int, key, help string, sub *Table, p func(*R) *[]E) Field {
	return Field{Num: num, Key: key, Help: help, Type: TypeNested, Sub: sub, at: access{
		size: func(rec any) int { return len(*p(rec.(*R))) },
		elem: func(rec any, i int) any { return &(*p(rec.(*R)))[i] },
		add: func(rec any) any {
			list := p(rec.(*R))
			*list = append(*list, *new(E))
			return &(*list)[len(*list)-1]
		},
		cut:    func(rec any) { *p(rec.(*R)) = nil },
		drop:   func(rec any) { list := p(rec.(*R)); *list = (*list)[:len(*list)-1] },
		remove: func(rec any, i int) { list := p(rec.(*R)); *list = slices.Delete(*list, i, i+1) },
	}}
}

func part[R, E any](num int, key, help string, sub *Table, p func(*R) **E) Field {
	return Field{Num: num, Key: key, Help: help, Type: TypeNested, Sub: sub, Single: true, at: access{
		size: func(rec any) int {
			if *p(rec.(*R)) == nil {
				return 0
			}
			return 1
		},
		elem: func(rec any, _ int) any { return *p(rec.(*R)) },
		add:  func(rec any) any { e := new(E); *p(rec.(*R)) = e; return e },
		cut:  func(rec any) { *p(rec.(*R)) = nil },
	}}
}

// most limits how large a number may be.
func (f Field) most(steps int64) Field {
	f.Max = steps
	return f
}

// derived marks a field that is written out and not stored.
func (f Field) derived() Field {
	f.Derived = true
	return f
}
