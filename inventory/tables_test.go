package inventory

import (
	"fmt"
	"reflect"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"
)

// contractKeys are the fields of the archive, as the contract lists them. Every
// record may have id and notes besides; more may be added, none renamed.
var contractKeys = map[string]string{
	"motors": "handle maker name propellant diameter_mm length_mm mass_g propellant_g head_ends delays_s delay_min_s delay_max_s delay_step_s " +
		"ejection_g nozzles core_mm core_width_mm ignition lag_s curve case igniter_supplied plug certified_by certified_until id notes",
	"nozzle":      "name throat_mm depth_mm cap_hole_mm measured_on curve",
	"curve point": "t_s thrust_n",
	"igniters": "handle maker name head_mm head_length_mm lead_pair_mm output all_fire_a no_fire_a recommended_a max_test_a firing_impulse_a2s " +
		"bridge_ohm bridge_tol_pct bridge_includes_leads lead_mm lead_awg lead_mm2 lead_ohm_per_m id notes",
	"batteries": "handle name chemistry cells open_circuit_v low_v internal_ohm aged_internal_ohm capacity_mah pulse_a id notes",
	"controllers": "handle name place on_ohm drop_v limit_a max_a pulse_s continuity_a source cap_uf cap_v cap_ohm supply brownout_v holdup_s " +
		"idle_a ready_s ready_sign arming step_s tol_pct detect_g detect_s inhibit outputs id notes",
	"output":             "name role on_ohm drop_v limit_a max_a pulse_s continuity_a",
	"lines":              "handle name battery controller output lead_m lead_awg lead_mm2 lead_ohm_per_m contact_ohm wiring hot_c id notes",
	"rockets":            "handle name rail_m supplies stages id notes",
	"supply of a flight": "item quantity",
	"stage":              "name diameter_mm dry_mass_g cd joint mounts recovery",
	"mount":              "name count mount_mm mount_length_mm motor nozzle head_end delay_s igniter ignition",
	"ignition":           "by line entry run_mm tube_mm splice_mm splice_awg at_s gap_mm held",
	"recovery": "name by mount opens trigger at_s at_m after_s backs_up line run_mm igniter count powder powder_g container bore_mm length_mm " +
		"target_kpa pins pin_n force_limit_n",
	"supplies":          "handle name unit reusable level id notes",
	"lots":              "id kind item quantity made acquired expires no_expiry place code unit_cost pack_size from_lot hazard notes",
	"events":            "id at what lot quantity to voids flight point with result cause reason by",
	"readings":          "id at of what nozzle value load_ohm n temperature_c by",
	"what was measured": "kind handle lot",
	"days":              "id date site altitude_m temperature_c wind_m_s confidence flights",
	"flight":            "id rocket count with result notes",
}

// contractWords are the words of the archive, as the contract lists them.
var contractWords = map[string]string{
	"motors.head_ends": "delay open plugged", "motors.ignition": "low medium high", "nozzle.measured_on": "new fired maker",
	"motors.propellant": "black-powder composite", "igniters.output": "low medium high",
	"controllers.place": "pad onboard bench", "controllers.source": "battery capacitor", "controllers.supply": "shared own",
	"controllers.arming": "switch pin none", "controllers.inhibit": "tilt height speed", "output.role": "motor charge any",
	"lines.wiring": "parallel series", "stage.joint": "slip friction pinned", "mount.head_end": "delay open plugged",
	"ignition.by": "pad timer burn-through", "ignition.entry": "aft head", "recovery.by": "motor charge tumble",
	"recovery.opens": "nose interstage mid", "recovery.trigger": "apogee tilt timer height", "supplies.unit": "g piece",
	"lots.kind":     "motor igniter battery supply",
	"events.what":   "in used tested given scrapped counted moved promised returned held released prepared void",
	"events.result": "fired misfire hang-fire burst not-flown", "events.cause": "head motor contact battery fell-out short unknown",
	"batteries.chemistry": "alkaline zinc-carbon nickel-metal-hydride nickel-cadmium lead-acid lithium-polymer lithium-ion lithium-iron-phosphate lithium", // ours
}

// allTables are the tables of the kinds and of their parts, each once, by name.
func allTables() map[string]*Table {
	all := map[string]*Table{}
	var add func(name string, t *Table)
	add = func(name string, t *Table) {
		all[name] = t
		for i := range t.Fields {
			if sub := t.Fields[i].Sub; sub != nil {
				add(sub.Name, sub)
			}
		}
	}
	for _, info := range Kinds {
		add(info.Plural, info.Table)
	}
	return all
}

func TestTablesKeepTheContract(t *testing.T) {
	tables := allTables()
	for name, keys := range contractKeys {
		table, ok := tables[name]
		if !ok {
			t.Errorf("there is no table %q", name)
			continue
		}
		for _, key := range strings.Fields(keys) {
			if _, ok := table.Field(key); !ok {
				t.Errorf("%s has no %s", name, key)
			}
		}
	}
	for name, table := range tables {
		for i := range table.Fields {
			f := &table.Fields[i]
			words := contractWords[name+"."+f.Key]
			if got := strings.Join(f.Words, " "); got != words {
				t.Errorf("%s.%s takes %q, not %q", name, f.Key, got, words)
			}
		}
		if _, ok := contractKeys[name]; !ok && name != "settings" {
			t.Errorf("the contract does not know a %q", name)
		}
	}
}

var (
	keyForm  = regexp.MustCompile(`^[a-z][a-z0-9]*(_[a-z0-9]+)*$`)
	wordForm = regexp.MustCompile(`^[a-z]+(-[a-z]+)*$`)
	helpForm = regexp.MustCompile(`^\S.*[^.\s]$`)
)

// TestTablesAreSound: numbers and keys are unique, words are lower-case, and
// every field says what it is.
func TestTablesAreSound(t *testing.T) {
	for name, table := range allTables() {
		numbers, keys := map[int]string{}, map[string]bool{}
		for i := range table.Fields {
			f := &table.Fields[i]
			where := name + "." + f.Key
			if other, twice := numbers[f.Num]; twice || f.Num <= 0 {
				t.Errorf("%s has the number %d, like %q", where, f.Num, other)
			}
			if keys[f.Key] || !keyForm.MatchString(f.Key) {
				t.Errorf("%s: the key is there twice, or is none", where)
			}
			numbers[f.Num], keys[f.Key] = f.Key, true
			if !helpForm.MatchString(f.Help) || strings.Contains(f.Help, "  ") || f.Expected() == "" {
				t.Errorf("%s: help %q, expected %q", where, f.Help, f.Expected())
			}
			seen := map[string]bool{}
			for _, word := range f.Words {
				if seen[word] || !wordForm.MatchString(word) {
					t.Errorf("%s: the word %q", where, word)
				}
				seen[word] = true
			}
			if isNumber := f.Type == TypeNumber || f.Type == TypeNumbers; isNumber != (f.Scale != nil) {
				t.Errorf("%s: its scale", where)
			}
			if (f.Type == TypeRef) != (len(f.Refers) > 0) || (f.Type == TypeNested) != (f.Sub != nil) {
				t.Errorf("%s: what it refers to or holds", where)
			}
		}
	}
}

// TestUnitsAreInTheNames: a number's key ends with its unit, or it has none.
func TestUnitsAreInTheNames(t *testing.T) {
	suffix := map[string]string{
		"mm": "_mm", "m": "_m", "g": "_g", "A": "_a", "ohm": "_ohm", "ohm/m": "_ohm_per_m", "V": "_v", "s": "_s", "N": "_n", "uF": "_uf",
		"mAh": "_mah", "A2s": "_a2s", "%": "_pct", "C": "_c", "kPa": "_kpa", "m/s": "_m_s", "mm2": "_mm2", "AWG": "_awg", "": "",
	}
	for name, table := range allTables() {
		for i := range table.Fields {
			f := &table.Fields[i]
			if f.Scale == nil {
				continue
			}
			if end, known := suffix[f.Scale.Name]; !known || !strings.HasSuffix(f.Key, end) {
				t.Errorf("%s.%s is in %q", name, f.Key, f.Scale.Name)
			}
		}
	}
}

// fill sets every field of a record and of its parts to something.
func fill(t *testing.T, table *Table, rec any) {
	t.Helper()
	for i := range table.Fields {
		f := &table.Fields[i]
		if f.Type == TypeNested {
			for range 2 {
				fill(t, f.Sub, f.AddPart(rec))
				if f.Single {
					break
				}
			}
			continue
		}
		f.at.set(rec, something(f))
		if !f.Known(rec) {
			t.Errorf("%s.%s was set and is not known", table.Name, f.Key)
		}
	}
}

// something is a value that a field of the type takes.
func something(f *Field) any {
	switch f.Type {
	case TypeText:
		return "text"
	case TypeWord:
		return f.Words[len(f.Words)-1]
	case TypeWords:
		return f.Words
	case TypeNumber:
		return int64(7)
	case TypeNumbers:
		return []int64{7, 8}
	case TypeFlag:
		return true
	case TypeDate:
		return Date{2027, 4, 17}
	case TypeMoment:
		return time.Date(2027, 4, 17, 10, 30, 0, 0, time.UTC)
	case TypeID:
		return named("id")
	case TypeRef:
		return Ref{ID: named("ref"), Handle: "ref"}
	case TypeMap:
		return map[string]string{"a": "b"}
	}
	return nil
}

// TestEveryFieldIsReached: what the structs hold, the tables set, keep and clear.
func TestEveryFieldIsReached(t *testing.T) {
	for _, info := range Kinds {
		t.Run(string(info.Kind), func(t *testing.T) {
			rec := info.New()
			if rec.Kind() != info.Kind {
				t.Fatalf("it is a %s", rec.Kind())
			}
			fill(t, info.Table, rec)
			if !info.Handled {
				rec.Base().Handle = "only handled kinds have one"
			}
			for _, path := range unset(reflect.ValueOf(rec).Elem(), string(info.Kind)) {
				t.Errorf("%s is reached by no field", path)
			}
			for i := range info.Table.Fields {
				f := &info.Table.Fields[i]
				f.Clear(rec)
				if f.Known(rec) && f.Type != TypeNested {
					t.Errorf("%s was cleared and is known", f.Key)
				}
			}
			rec.Base().Handle = ""
			if !reflect.ValueOf(rec).Elem().IsZero() {
				t.Errorf("cleared, and not empty: %+v", rec)
			}
		})
	}
}

// unset lists the exported fields that hold nothing. Quantities, dates,
// references and ids are taken as one.
func unset(v reflect.Value, path string) []string {
	switch v.Interface().(type) {
	case Date, time.Time, Ref, uuid.UUID:
		return emptyAt(v, path)
	}
	switch {
	case v.Kind() == reflect.Pointer && !v.IsNil():
		return unset(v.Elem(), path)
	case v.Kind() == reflect.Slice && v.Len() > 0 && v.Type().Elem().Kind() == reflect.Struct:
		return unset(v.Index(v.Len()-1), path+"[]")
	case v.Kind() != reflect.Struct || v.NumField() > 0 && !v.Type().Field(0).IsExported():
		return emptyAt(v, path)
	}
	var paths []string
	for i := range v.NumField() {
		paths = append(paths, unset(v.Field(i), path+"."+v.Type().Field(i).Name)...)
	}
	return paths
}

func emptyAt(v reflect.Value, path string) []string {
	if v.IsZero() {
		return []string{path}
	}
	return nil
}

// TestEveryReferenceIsFound: each Ref that a struct holds is among References,
// itself, so that it can be resolved in place.
func TestEveryReferenceIsFound(t *testing.T) {
	total := 0
	for _, info := range Kinds {
		rec := info.New()
		fill(t, info.Table, rec)
		found, paths := map[*Ref]bool{}, map[string]bool{}
		for _, r := range References(rec) {
			found[r.Ref] = true
			if paths[r.Path] || r.Path == "" || len(r.Kinds) == 0 {
				t.Errorf("%s: the path %q to %v", info.Kind, r.Path, r.Kinds)
			}
			paths[r.Path] = true
		}
		held := refsIn(reflect.ValueOf(rec).Elem())
		for _, r := range held {
			if !found[r] {
				t.Errorf("%s: a reference was not found", info.Kind)
			}
		}
		if len(held) != len(found) {
			t.Errorf("%s holds %d references, %d were found", info.Kind, len(held), len(found))
		}
		total += len(held)
		if fresh := References(info.New()); len(fresh) != 0 {
			t.Errorf("%s: an empty record refers to %v", info.Kind, fresh)
		}
	}
	if total < 30 {
		t.Errorf("only %d references in all", total)
	}
}

// refsIn finds every Ref inside a value.
func refsIn(v reflect.Value) []*Ref {
	switch v.Kind() {
	case reflect.Pointer:
		if v.IsNil() {
			return nil
		}
		return refsIn(v.Elem())
	case reflect.Slice:
		var refs []*Ref
		for i := range v.Len() {
			refs = append(refs, refsIn(v.Index(i))...)
		}
		return refs
	case reflect.Struct:
		if r, ok := v.Addr().Interface().(*Ref); ok {
			return []*Ref{r}
		}
		var refs []*Ref
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				refs = append(refs, refsIn(v.Field(i))...)
			}
		}
		return refs
	}
	return nil
}

// TestReferencePaths: how the places are called.
func TestReferencePaths(t *testing.T) {
	rocket := &Rocket{
		Supplies: []SupplyUse{{Item: Ref{Handle: "wadding"}}},
		Stages: []Stage{{}, {
			Mounts:   []Mount{{Motor: Ref{Handle: "m"}, Ignition: &Ignition{Line: Ref{Handle: "l"}}}},
			Recovery: []Recovery{{Powder: Ref{Handle: "p"}}},
		}},
	}
	var got []string
	for _, r := range References(rocket) {
		got = append(got, fmt.Sprint(r.Path, " ", r.Kinds))
	}
	want := "supplies[0].item [supply], stages[1].mounts[0].motor [motor], stages[1].mounts[0].ignition.line [line], stages[1].recovery[0].powder [supply]"
	if strings.Join(got, ", ") != want {
		t.Errorf("%s", strings.Join(got, ", "))
	}
	// A lot's kind and a reading's say what their reference can be.
	if r := References(&Lot{Of: LotOfBatteries, Item: Ref{Handle: "x"}}); len(r) != 1 || len(r[0].Kinds) != 1 || r[0].Kinds[0] != KindBattery {
		t.Errorf("%+v", r)
	}
	if r := References(&Lot{Item: Ref{Handle: "x"}}); len(r[0].Kinds) != len(LotKinds) {
		t.Errorf("%+v", r)
	}
	if r := References(&Reading{Of: &ReadingOf{Kind: "line", Item: Ref{Handle: "x"}}}); len(r) != 1 || r[0].Kinds[0] != KindLine || r[0].Path != "of.handle" {
		t.Errorf("%+v", r)
	}
}

// TestReadingOfNoKind: what a reading is of may be any type, where it does not
// say; nothing else of it is taken for a kind.
func TestReadingOfNoKind(t *testing.T) {
	if r := References(&Reading{Of: &ReadingOf{Item: Ref{Handle: "x"}}}); len(r) != 1 || len(r[0].Kinds) < 2 {
		t.Errorf("%+v", r)
	}
	if r := References(&Reading{Of: &ReadingOf{Kind: "igniter", Lot: Ref{ID: named("l")}}}); len(r) != 1 || r[0].Kinds[0] != KindLot {
		t.Errorf("%+v", r)
	}
}

func TestKinds(t *testing.T) {
	for _, info := range Kinds {
		for _, name := range []string{string(info.Kind), info.Plural} {
			if got, ok := KindNamed(name); !ok || got.Kind != info.Kind {
				t.Errorf("%q is %v", name, got.Kind)
			}
		}
		if info.Kind.Info().Plural != info.Plural {
			t.Errorf("%s", info.Kind)
		}
		if kind, ok := LotKindOf(info.Kind); ok != (kind != 0) || ok && kind.Item() != info.Kind {
			t.Errorf("a lot of %s: %v %v", info.Kind, kind, ok)
		}
	}
	if _, ok := KindNamed("kite"); ok || LotKind(0).Item() != "" {
		t.Error("there is a kind that there is not")
	}
	defer func() {
		if recover() == nil {
			t.Error("a kind that is a mistake in the program passes")
		}
	}()
	Kind("kite").Info()
}

// TestWordsAreTheConstants: the words stand in the order of the constants, which
// is that of the stored form.
func TestWordsAreTheConstants(t *testing.T) {
	rows := []struct{ got, want string }{
		{In.String(), "in"}, {Counted.String(), "counted"}, {Prepared.String(), "prepared"}, {Void.String(), "void"}, {What(0).String(), ""}, {What(99).String(), ""},
		{Fired.String(), "fired"}, {NotFlown.String(), "not-flown"}, {CauseHead.String(), "head"}, {CauseUnknown.String(), "unknown"},
		{Low.String(), "low"}, {High.String(), "high"}, {Level(0).String(), ""},
	}
	for _, row := range rows {
		if row.got != row.want {
			t.Errorf("%q, not %q", row.got, row.want)
		}
	}
	for _, row := range []struct {
		rec       any
		table     *Table
		key, want string
	}{
		{&Nozzle{MeasuredOn: MeasuredFired}, nozzleTable, "measured_on", "fired"},
		{&Controller{Place: Onboard}, controllerTable, "place", "onboard"},
		{&Controller{Source: FromCapacitor}, controllerTable, "source", "capacitor"},
		{&Controller{Supply: OwnSupply}, controllerTable, "supply", "own"},
		{&Controller{Arming: ArmNone}, controllerTable, "arming", "none"},
		{&Output{Role: RoleAny}, outputTable, "role", "any"},
		{&Line{Wiring: Series}, lineTable, "wiring", "series"},
		{&Stage{Joint: PinnedJoint}, stageTable, "joint", "pinned"},
		{&Mount{HeadEnd: EndPlugged}, mountTable, "head_end", "plugged"},
		{&Ignition{By: LitByBurnThrough}, ignitionTable, "by", "burn-through"},
		{&Ignition{Entry: EntryHead}, ignitionTable, "entry", "head"},
		{&Recovery{By: RecoverByTumble}, recoveryTable, "by", "tumble"},
		{&Recovery{Opens: OpensMid}, recoveryTable, "opens", "mid"},
		{&Recovery{Trigger: TriggerHeight}, recoveryTable, "trigger", "height"},
		{&Supply{Unit: InPieces}, supplyTable, "unit", "piece"},
		{&Lot{Of: LotOfSupplies}, lotTable, "kind", "supply"},
	} {
		f, _ := row.table.Field(row.key)
		if got, _ := f.Text(row.rec); got != row.want {
			t.Errorf("%s: %q, not %q", row.key, got, row.want)
		}
	}
}
