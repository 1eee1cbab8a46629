package web

import (
	"bytes"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"hardtack/api"
	"hardtack/pricing"
	"hardtack/route/inventory"
	"hardtack/route/logbook"
)

// typedOf is the draft of stop 1 by item.
func typedOf(t *testing.T, svc *api.Service) map[string]api.DraftLine {
	t.Helper()
	d, err := svc.Draft(ctx, planOf(t, svc), 1)
	require.NoError(t, err)
	out := map[string]api.DraftLine{}
	for _, l := range d.Value.Lines {
		out[string(l.Item)] = l
	}
	return out
}

// Two phones with the script off: each sends its whole page, made before the
// other's. Neither takes back what the other said, and where both say
// something new of one thing it is asked.
func TestTwoPhonesWithoutScript(t *testing.T) {
	t.Parallel()
	svc := invented(t)
	v := visit(t, serve(t, svc, Options{}))
	lines := linesOf(t, svc)
	rice, oats, salt := string(lines[0].Item), string(lines[1].Item), string(lines[2].Item)
	mine := fieldsOf(t, v.get(shopPath).body, shopPath)
	theirs := fieldsOf(t, v.get(shopPath).body, shopPath)

	theirs.Set("price."+rice, "2.20")
	theirs.Set("price."+oats, "1.40")
	require.Equal(t, http.StatusOK, v.post(shopPath, theirs).status)
	mine.Set("price."+salt, "0.90")
	require.Equal(t, http.StatusOK, v.post(shopPath, mine).status)
	require.Len(t, typedOf(t, svc), 3, "what is not on my page is not taken back")

	mine.Set("price."+rice, "2.35")
	mine.Set("do", "receipt")
	asked := v.post(shopPath, mine)
	require.Equal(t, http.StatusConflict, asked.status)
	require.Contains(t, asked.body, "1 line below was said otherwise")
	require.Contains(t, asked.body, "2.20 EUR")
	require.Contains(t, asked.body, `value="2.35"`, "what was typed stands there")
	require.Equal(t, "2.20", typedOf(t, svc)[rice].Price)

	again := fieldsOf(t, asked.body, shopPath)
	leave := url.Values{"drop": {rice}}
	for k, x := range again {
		if k != "drop" {
			leave[k] = x
		}
	}
	require.Equal(t, http.StatusOK, v.post(shopPath, leave).status)
	require.Equal(t, "2.20", typedOf(t, svc)[rice].Price, "the other is left")
	require.Equal(t, http.StatusOK, v.post(shopPath, again).status)
	require.Equal(t, "2.35", typedOf(t, svc)[rice].Price, "kept again knowing of the other")
	require.Equal(t, "1.40", typedOf(t, svc)[oats].Price)

	// The receipt is confirmed by one while the other still looks at the list.
	late := fieldsOf(t, v.get(shopPath).body, shopPath)
	receipt := fieldsOf(t, v.get(shopPath+"/receipt").body, shopPath+"/receipt")
	receipt.Set("do", "confirm")
	require.Equal(t, http.StatusOK, v.post(shopPath+"/receipt", receipt).status)
	require.Equal(t, http.StatusOK, v.post(shopPath, late).status)
	require.Empty(t, typedOf(t, svc), "an old page brings nothing back")
	late.Set("count."+rice, "9")
	asked = v.post(shopPath, late)
	require.Equal(t, http.StatusConflict, asked.status)
	require.Contains(t, asked.body, "on a receipt")
	require.Empty(t, typedOf(t, svc))
}

// The same with the script on: the line is not sent again by itself, the
// reader chooses.
func TestTwoPhonesSayOtherwise(t *testing.T) {
	t.Parallel()
	svc := invented(t)
	server := serve(t, svc, Options{})
	id := string(linesOf(t, svc)[0].Item)
	b := open(t)
	b.do(size(360, 740), chromedp.Navigate(server+shopPath), chromedp.WaitReady(css("form.shop")))
	require.Equal(t, http.StatusOK, visit(t, server).post(shopPath, url.Values{"line": {id}, "price." + id: {"2.20"}}).status)
	b.do(typed(`input[name="price.`+id+`"]`, "2.35\t"), until(`document.querySelector(".rival button") !== null`))
	b.shot("shop-rival-light-360")
	require.Contains(t, eval[string](b, `document.querySelector(".rival").textContent`), "2.20 EUR")
	b.do(reload, until(`document.querySelector(".rival button") !== null`))
	require.Equal(t, "2.35", eval[string](b, fmt.Sprintf(`document.querySelector('input[name="price.%s"]').value`, id)), "what was typed survives")
	require.Equal(t, "2.20", typedOf(t, svc)[id].Price, "a page loaded anew decides nothing")
	b.do(press(".rival button"), chromedp.WaitReady(css("p.done")), until(`Object.keys(localStorage).length === 0`))
	require.Equal(t, "2.20", typedOf(t, svc)[id].Price)
	require.Equal(t, "2.20", eval[string](b, fmt.Sprintf(`document.querySelector('input[name="price.%s"]').value`, id)))
}

// dying answers until it is told to die: before it has kept what is sent or
// after, without a word to the phone.
type dying struct {
	http.Handler
	before, after atomic.Bool
}

func (d *dying) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	if d.before.Load() {
		panic(http.ErrAbortHandler)
	}
	if r.Method == http.MethodPost && d.after.Load() {
		body, _ := io.ReadAll(r.Body)
		r.Body = io.NopCloser(bytes.NewReader(body))
		if bytes.Contains(body, []byte("sent=")) { // the whole list, not a line of it
			d.before.Store(true)
			d.Handler.ServeHTTP(httptest.NewRecorder(), r)
			panic(http.ErrAbortHandler)
		}
	}
	d.Handler.ServeHTTP(w, r)
}

// The server dies while the whole list is sent: the phone forgets nothing
// before it has read that it was kept.
func TestTheServerDiesWhileTheListIsSent(t *testing.T) {
	t.Parallel()
	for _, kept := range []bool{false, true} {
		t.Run(fmt.Sprintf("kept %v", kept), func(t *testing.T) {
			t.Parallel()
			svc := invented(t)
			d := &dying{Handler: New(svc, Options{Plan: quick})}
			server := httptest.NewServer(d)
			t.Cleanup(server.Close)
			id := string(linesOf(t, svc)[0].Item)
			price := `input[name="price.` + id + `"]`
			b := open(t)
			b.do(size(360, 740), chromedp.Navigate(server.URL+shopPath), chromedp.WaitReady(css("form.shop")), typed(price, "2.35"))
			d.before.Store(!kept)
			d.after.Store(kept)
			b.do(press("button[value=receipt]"))
			require.Eventually(t, func() bool { // until the browser shows its own page for it
				gone, err := chromedp.Run(b.ctx, chromedp.Evaluate[bool](`document.querySelector("form.shop") === null`))
				return err == nil && gone
			}, 5*time.Minute, 100*time.Millisecond)
			require.Equal(t, kept, typedOf(t, svc)[id].Price == "2.35")
			d.before.Store(false)
			d.after.Store(false)
			b.do(chromedp.Navigate(server.URL+shopPath), chromedp.WaitReady(css(price)))
			require.Equal(t, "2.35", eval[string](b, `document.querySelector('`+price+`').value`))
			b.do(press("button[value=receipt]"), chromedp.WaitReady(css("input[name=sum]")), until(`Object.keys(localStorage).filter(k => !k.startsWith("draft:")).length === 0`))
			require.Equal(t, "2.35", typedOf(t, svc)[id].Price)
			b.do(press("button[value=confirm]"), chromedp.WaitReady(css("p.done")))
			require.Len(t, mine(t, svc), 1)
		})
	}
}

// Whoever says something new is kept or told; nobody's word is taken back by
// one who did not know it.
func TestMergedLosesNoWord(t *testing.T) {
	t.Parallel()
	state := func(r *rapid.T, name string) lineState {
		out := lineState{}
		for _, field := range []string{"got", "none", "price", "count", "booked"} {
			if text := rapid.SampledFrom([]string{"", "1", "2"}).Draw(r, name+field); text != "" {
				out[field] = text
			}
		}
		return out
	}
	rapid.Check(t, func(r *rapid.T) {
		was, kept, typed := state(r, "was "), state(r, "kept "), state(r, "typed ")
		typed["booked"] = was["booked"]
		out, ok := merged(was, typed, kept)
		for _, field := range []string{"none", "price", "count"} {
			if typed[field] == was[field] && !ok {
				continue
			}
			if out[field] != kept[field] {
				require.True(r, ok)
				require.Equal(r, typed[field], out[field])
				require.Equal(r, was.said(), kept.said(), "the other's word was known")
			}
		}
		if same, ok := merged(was, was, kept); true {
			require.True(r, ok)
			require.Equal(r, kept, same, "a page nobody typed into changes nothing")
		}
	})
	require.Equal(t, lineState{"got": "1", "price": "1&2=3", "none": ""}.text(), stateOf(lineState{"got": "1", "price": "1&2=3", "none": ""}.text()).text())
	require.Equal(t, lineState{}, stateOf("%zz"))
	d := api.Draft{Lines: []api.DraftLine{{Item: "oats", Price: "1", Space: "bilge"}, {Item: "rye", For: "oats", Space: "fridge"}}}
	lineState{"none": "1", "sub": "rye", "subprice": "2"}.keep(&d, "oats")
	require.ElementsMatch(t, []api.DraftLine{{Item: "oats", None: true, Space: "bilge"}, {Item: "rye", For: pricing.ItemID("oats"), Got: true, Price: "2", Space: "fridge"}}, d.Lines)
}

// What the log and the loans have to say stands on the list it is about.
func TestTheListHasTheLogsHints(t *testing.T) {
	t.Parallel()
	svc := invented(t)
	id := linesOf(t, svc)[0].Item
	boat := boatOf(t, svc).ID
	ahead := planOf(t, svc).Notes.Stops[4]
	for _, e := range []logbook.Entry{
		{Kind: logbook.PestSeen, Item: id, Note: "weevils under the lid"}, {Kind: logbook.Wanted, Place: string(ahead.Port), Note: "fish hooks"},
	} {
		_, err := svc.AddLog(ctx, boat, e)
		require.NoError(t, err)
	}
	_, err := svc.Act(ctx, boat, api.ActEntry{Kind: inventory.Got, Item: "oats_rolled", Amount: "500 g", To: boatOf(t, svc).Spaces[0].ID, Party: "a ketch (invented)", Loan: true})
	require.NoError(t, err)
	page := unescape(visit(t, serve(t, svc, Options{})).get(shopPath).body)
	_, line, _ := strings.Cut(page, `data-line="`+string(id)+`"`)
	line, _, _ = strings.Cut(line, "data-line=")
	require.Contains(t, line, "weevils under the lid")
	require.Contains(t, page, "fish hooks")
	require.Contains(t, page, ahead.Name)
	require.Contains(t, page, "a ketch (invented): we owe them")
}
