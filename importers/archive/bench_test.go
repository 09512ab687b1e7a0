package archive

import (
	"bytes"
	"fmt"
	"strings"
	"testing"
)

// bigArchive is a club's catalogue: motors with curves of 14 points, and
// igniters, in the pretty-printed form that other programs write.
func bigArchive(motors, igniters int) []byte {
	var b bytes.Buffer
	b.WriteString("{\n \"format\": \"rangebox-archive\",\n \"version\": 1,\n \"motors\": [\n")
	for i := range motors {
		points := make([]string, 14)
		for p := range points {
			points[p] = fmt.Sprintf("    {\n     \"t_s\": %d.%03d,\n     \"thrust_n\": %d.25\n    }", p/4, p%4*250, 20+(i+p)%30)
		}
		fmt.Fprintf(&b, "  {\n   \"handle\": \"m-%d\",\n   \"maker\": \"Marram Works\",\n   \"name\": \"X%d\",\n   \"propellant\": \"composite\",\n"+
			"   \"diameter_mm\": 29,\n   \"length_mm\": 124.5,\n   \"mass_g\": 101.25,\n   \"propellant_g\": 54.2,\n   \"delays_s\": [4, 6, 8],\n"+
			"   \"nozzles\": [{\"name\": \"standard\", \"throat_mm\": 4.2, \"depth_mm\": 9}],\n   \"curve\": [\n%s\n   ]\n  }", i, i, strings.Join(points, ",\n"))
		b.WriteString(comma(i, motors))
	}
	b.WriteString(" ],\n \"igniters\": [\n")
	for i := range igniters {
		fmt.Fprintf(&b, "  {\n   \"handle\": \"ig-%d\",\n   \"maker\": \"Marram Works\",\n   \"name\": \"I%d\",\n   \"head_mm\": 2.4,\n   \"output\": \"medium\",\n"+
			"   \"all_fire_a\": 1.2,\n   \"no_fire_a\": 0.2,\n   \"bridge_ohm\": 1.05,\n   \"lead_mm\": 450,\n   \"lead_awg\": 26\n  }", i, i)
		b.WriteString(comma(i, igniters))
	}
	b.WriteString(" ]\n}\n")
	return b.Bytes()
}

func comma(i, n int) string {
	if i < n-1 {
		return ",\n"
	}
	return "\n"
}

func BenchmarkRead(b *testing.B) {
	doc := bigArchive(2000, 500)
	b.SetBytes(int64(len(doc)))
	b.ReportAllocs()
	for b.Loop() {
		batch, err := Read(bytes.NewReader(doc), "big.json")
		if err != nil || len(batch.Items) != 2500 {
			b.Fatal(err)
		}
	}
}

func BenchmarkWrite(b *testing.B) {
	batch, err := Read(bytes.NewReader(bigArchive(2000, 500)), "big.json")
	if err != nil {
		b.Fatal(err)
	}
	var out bytes.Buffer
	b.ReportAllocs()
	for b.Loop() {
		out.Reset()
		if err := Write(&out, FromBatch(batch)); err != nil {
			b.Fatal(err)
		}
	}
	b.SetBytes(int64(out.Len()))
}
