package inventory

import "rangebox/inventory/quantity"

// Settings is the one record of what the user set.
type Settings struct {
	Header
	CertificationBody string
	DistanceTable     string
	UserLevel         quantity.Opt[quantity.Count]
	Currency          string
	Thresholds        map[string]string
	StorageLimits     map[string]string
	Priors            map[string]string
}

// Kind is KindSettings.
func (*Settings) Kind() Kind { return KindSettings }

// SettingsID is the id of the one settings record of any box.
var SettingsID = DerivedID(KindSettings)

var settingsTable = table("settings", func(s *Settings) *Header { return &s.Header }, false,
	text(10, "certification_body", "the body whose certification counts", func(s *Settings) *string { return &s.CertificationBody }),
	text(11, "distance_table", "the safety-distance table in use", func(s *Settings) *string { return &s.DistanceTable }),
	number(12, "user_level", quantity.Piece, NotNegative, "the flyer's own certification level", func(s *Settings) *quantity.Opt[quantity.Count] { return &s.UserLevel }),
	text(13, "currency", "what costs are in", func(s *Settings) *string { return &s.Currency }),
	pairs(14, "thresholds", "limits of the rules that differ from the defaults", func(s *Settings) *map[string]string { return &s.Thresholds }),
	pairs(15, "storage_limits", "grams of propellant and powder by place", func(s *Settings) *map[string]string { return &s.StorageLimits }),
	pairs(16, "priors", "what is expected of igniters before any firing is known", func(s *Settings) *map[string]string { return &s.Priors }),
)
