package dbtest_test

import (
	"testing"

	"hardtack/db"
	"hardtack/db/dbtest"
)

// One behaviour, one name, every database.
var contract = []struct {
	name string
	test func(*testing.T, *db.DB)
}{
	{"a report comes back unchanged", reportComesBack},
	{"any report comes back unchanged", anyReportComesBack},
	{"the same report again changes nothing", sameReportAgain},
	{"a taken id with other content is a conflict and changes nothing", takenID},
	{"doubles within one call count once, or clash", doublesInOneCall},
	{"a missing report is not found", missingReport},
	{"what one database would not keep is refused by both", unkeepable},
	{"thousands come in one change", thousands},
	{"pages follow each other without gap or double", pages},
	{"filters hold", filters},
	{"a replaced report no longer stands", standing},
	{"reports added while paging do not disturb it", addedWhilePaging},

	{"a document comes back byte for byte", documentComesBack},
	{"a stale revision changes nothing", staleRevision},
	{"absent means absent", absentMeansAbsent},
	{"a revision never comes again", revisionNeverAgain},
	{"deleting takes what hangs on it", deletingTakesAlong},
	{"documents are listed by id", documentsByID},
	{"of two writers from one revision one is stale", twoWriters},
	{"the first fact about a database stays", firstFactStays},

	{"lots come back in order", lotsComeBack},
	{"lots of one vessel leave the others alone", lotsOfOneVessel},
	{"a stale inventory changes nothing", staleLots},
	{"lockers come back in order", lockersComeBack},
	{"a booking keeps lots, lines, count and usage in one change", bookingWhole},
	{"a booking that fails keeps nothing", bookingFails},
	{"a log only grows", logGrows},

	{"rates come back and can be put right", ratesComeBack},

	{"records come in once, in any order, with one state", recordsAnyOrder},
	{"records are numbered in the order they came in", recordsNumbered},
	{"a feed has no gap while others write", feedWithoutGap},
	{"a head moves only without a gap", headWithoutGap},
	{"one number twice is two facts", partedWays},
	{"a day to come is read as the last that can have", daysToCome},
	{"what is known of a peer comes with the records", peerKept},

	{"a report is told to everybody once, and taken back", toldOnce},
	{"what waits is found by port and month", waitingByPool},
	{"what was looked at is left alone until its day", lookedAtLater},
	{"what is told is as of any change", asOfAChange},
	{"sums are kept whole or not at all", sumsWhole},
	{"one works alone", oneWorksAlone},
	{"another reporter replaces nothing", othersReplaceNothing},

	{"an account comes back", accountComesBack},
	{"an invitation is used once", invitationOnce},
	{"keys are their account's", keysOfAccounts},
	{"logins are few, and one takes another's place", loginsAreFew},
	{"a second factor is offered, confirmed and taken away", factorsComeAndGo},
	{"a code is used once however many try", codesOnce},
	{"a reporter is one account's", reportersClaimed},
	{"an erased account leaves prices and nothing else", accountErased},
	{"what is done to accounts is audited", everythingAudited},

	{"every write is one change, numbered in order", everyWriteOneChange},
	{"writers side by side lose nothing", writersSideBySide},
	{"an error undoes the whole write", errorUndoes},
}

func TestSQLite(t *testing.T)   { t.Parallel(); run(t, dbtest.SQLite) }
func TestPostgres(t *testing.T) { t.Parallel(); run(t, dbtest.Postgres) }

func run(t *testing.T, e dbtest.Engine) {
	for _, c := range contract {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			c.test(t, dbtest.Open(t, e))
		})
	}
}
