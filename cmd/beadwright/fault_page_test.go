package main

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"net/http"
	"path/filepath"
	"sync"
	"testing"
	"time"
)

// TestFaultKilledPage kills the program that serves the page with SIGKILL while phones
// log through it and the command line logs beside it. Each phone sends what nobody
// acknowledged again to the next one, as the page does: nothing acknowledged is lost,
// nothing is there twice, and the command line never notices.
func TestFaultKilledPage(t *testing.T) {
	if racing {
		t.Skip("the race detector looks on, and does not see what other processes do")
	}
	kills := 3
	if *long {
		kills = 100
	}
	random := rand.New(rand.NewPCG(71, 73))
	path := filepath.Join(t.TempDir(), "notebook.db")
	told := map[string]string{} // id by mark
	take := func(a acknowledged) {
		t.Helper()
		if told[a.Mark] != "" && told[a.Mark] != a.ID {
			t.Errorf("mark %s was given twice", a.Mark)
		}
		told[a.Mark] = a.ID
	}
	unheard := make([]string, 3) // what each phone sent and was not answered
	for range kills {
		s := startServe(t, path)
		beside, complaint, said := startWriter(t, path, time.Minute)
		var phones sync.WaitGroup
		var mu sync.Mutex
		answered, enough, full := 0, 3+random.IntN(30), make(chan struct{})
		for i := range unheard {
			phones.Go(func() {
				for {
					if unheard[i] == "" {
						unheard[i] = newID(t)
					}
					status, body, err := s.post("api/log", fmt.Sprintf(sentWeld, unheard[i]))
					if err != nil {
						return // it was killed
					}
					var a acknowledged
					if status != http.StatusCreated && status != http.StatusOK || json.Unmarshal(body, &a) != nil || a.ID != unheard[i] {
						t.Errorf("log: %d %s", status, body)
						return
					}
					unheard[i] = ""
					mu.Lock()
					take(a)
					if answered++; answered == enough {
						close(full)
					}
					mu.Unlock()
				}
			})
		}
		ended := make(chan struct{})
		go func() { phones.Wait(); close(ended) }()
		select {
		case <-full:
			time.Sleep(time.Duration(random.IntN(5000)) * time.Microsecond)
		case <-ended:
			t.Error("the phones were turned away")
		}
		_ = s.cmd.Process.Kill()
		_ = s.cmd.Wait() // it was killed
		<-ended
		_ = beside.Process.Kill()
		for _, a := range <-said {
			take(a)
		}
		_ = beside.Wait()
		if s.complaint.Len() > 0 || complaint.Len() > 0 {
			t.Errorf("they said: %s%s", s.complaint, complaint)
		}
	}
	there := standing(t, path)
	lost := lostOf(told, there)
	if lost > 0 || len(there) > len(told)+len(unheard)+kills { // one of each command line may stand that nobody heard of
		t.Errorf("%d welds were acknowledged, %d of them lost; %d are there", len(told), lost, len(there))
	}
	intact(t, path)
	t.Logf("faults tried: %d pages killed, and as many programs beside; acknowledged: %d welds; lost: %d", kills, len(told), lost)
}
