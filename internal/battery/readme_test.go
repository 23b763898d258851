package battery

import (
	"encoding/csv"
	"fmt"
	"os"
	"strings"
	"testing"
)

// The developers' page shows every prediction of the recorded table, failures
// included.
func TestDevelopersPageShowsEveryPrediction(t *testing.T) {
	page, err := os.ReadFile("README.md")
	if err != nil {
		t.Fatal(err)
	}
	file, err := os.Open("testdata/prediction.tsv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	table := csv.NewReader(file)
	table.Comma = '\t'
	rows, err := table.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	predicted := 0
	for _, row := range rows[1:] {
		if row[2] != "predicted" {
			continue
		}
		predicted++
		if line := fmt.Sprintf("| %s | %s | %s %% | %s mV |", row[0], row[1], row[3], row[4]); !strings.Contains(string(page), line) {
			t.Errorf("README.md does not show %s", line)
		}
	}
	if predicted < 20 {
		t.Errorf("only %d predictions are recorded", predicted)
	}
}
