package inventory

import "fmt"

// wordOf is the word of an enumeration, empty for its zero value.
func wordOf[E ~uint8](words []string, e E) string {
	if e == 0 || int(e) > len(words) {
		return ""
	}
	return words[e-1]
}

// repeated refuses names that occur twice.
func repeated(what string, names []string) []error {
	var errs []error
	seen := map[string]bool{}
	for _, name := range names {
		if seen[name] {
			errs = append(errs, fmt.Errorf("%w: the %s %q is there twice; each needs a name of its own", ErrInvalid, what, name))
		}
		seen[name] = true
	}
	return errs
}
