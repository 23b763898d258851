package app

import (
	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
)

// offered lists what a journal has for a shell to complete, each name with its title. Nothing is computed, and a folder
// that cannot be read offers nothing.
func offered(dir string, list func(j *journal.Journal, offer func(name, title string))) []string {
	folder, err := notes.Open(dir)
	if err != nil {
		return nil
	}
	defer func() { _ = folder.Close() }()
	var out []string
	list(journal.Load(folder, &finding.List{}), func(name, title string) { out = append(out, name+"\t"+title) })
	return out
}

func vehiclesOf(dir string) []string {
	return offered(dir, func(j *journal.Journal, offer func(name, title string)) {
		for _, v := range j.Vehicles {
			offer(v.Slug, v.Name.Text)
		}
	})
}

func versionsOf(dir string) []string {
	return offered(dir, func(j *journal.Journal, offer func(name, title string)) {
		for _, vehicle := range j.Vehicles {
			for _, v := range vehicle.Versions {
				offer(v.Path(), v.Name.Text)
			}
		}
	})
}

func questionsOf(dir string) []string {
	return offered(dir, func(j *journal.Journal, offer func(name, title string)) {
		for _, n := range j.Questions {
			offer(n.Slug, n.Title.Text)
		}
	})
}

// placesOf are what values can be asked for.
func placesOf(dir string) []string {
	return offered(dir, func(j *journal.Journal, offer func(name, title string)) {
		for _, p := range j.Places() {
			if p.Vehicle != nil {
				offer(addressOf(p), titleOf(p))
			}
		}
	})
}
