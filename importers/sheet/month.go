package sheet

import (
	"strconv"
	"strings"
	"time"
)

// monthNames are the months in English, German, French, Spanish, Italian,
// Portuguese and Dutch, without accents (CLDR, from memory), and short forms that
// are not the beginnings of these.
var monthNames = map[time.Month]string{
	time.January:   "january januar janner janvier enero gennaio janeiro januari",
	time.February:  "february februar feber fevrier febrero febbraio fevereiro februari",
	time.March:     "march marz maerz mars marzo marco maart mrz mrt",
	time.April:     "april avril abril aprile",
	time.May:       "may mai mayo maggio maio mei",
	time.June:      "june juni juin junio giugno junho",
	time.July:      "july juli juillet julio luglio julho",
	time.August:    "august aout agosto augustus",
	time.September: "september septembre septiembre settembre setembro setiembre sept",
	time.October:   "october oktober octobre octubre ottobre outubro",
	time.November:  "november novembre noviembre novembro",
	time.December:  "december dezember decembre diciembre dicembre dezembro",
}

// month is the number of a month by its name, whole or cut to three letters or
// more, where that is a month in every language that has such a name; else 0.
func month(name string) string {
	const shortest = 3
	found := time.Month(0)
	name = folded.Replace(strings.ToLower(name))
	if len(name) < shortest {
		return "0"
	}
	for m, names := range monthNames {
		for _, whole := range strings.Fields(names) {
			switch {
			case !strings.HasPrefix(whole, name):
			case found != 0 && found != m:
				return "0" // jui: juin or juillet
			default:
				found = m
			}
		}
	}
	return strconv.Itoa(int(found))
}
