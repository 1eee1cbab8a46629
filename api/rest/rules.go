package rest

import "hardtack/api/access"

// rules are what the endpoints of a shared server ask of the one who calls,
// and the whole of it: what is not named here is not served there, since route
// and stores never leave the boat. Without accounts everything is open, to
// whoever reaches the server.
var rules = map[string]access.Rule{
	"GET /healthz":         {Who: access.Anybody},
	"GET /readyz":          {Who: access.Anybody},
	"GET /v1/openapi.yaml": {Who: access.Anybody},
	"GET /v1/openapi.json": {Who: access.Anybody},

	"GET /v1/ports":                          {Who: access.Anybody},
	"GET /v1/ports/:port":                    {Who: access.Anybody},
	"GET /v1/items":                          {Who: access.Anybody},
	"GET /v1/items/:item":                    {Who: access.Anybody},
	"GET /v1/rates":                          {Who: access.Anybody},
	"GET /v1/estimates":                      {Who: access.Anybody},
	"POST /v1/estimates":                     {Who: access.Anybody},
	"POST /v1/accounts":                      {Who: access.Anybody},
	"POST /v1/logins":                        {Who: access.Anybody},
	"GET /v1/account":                        {Who: access.Member, Scope: access.Reports},
	"DELETE /v1/account":                     {Who: access.Member, Scope: access.Accounts},
	"PUT /v1/account/password":               {Who: access.Member, Scope: access.Accounts},
	"POST /v1/account/second-factor":         {Who: access.Member, Scope: access.Accounts},
	"PUT /v1/account/second-factor":          {Who: access.Member, Scope: access.Accounts},
	"POST /v1/account/second-factor/removal": {Who: access.Member, Scope: access.Accounts},
	"GET /v1/keys":                           {Who: access.Member, Scope: access.Accounts},
	"POST /v1/keys":                          {Who: access.Member, Scope: access.Accounts},
	"DELETE /v1/keys/:key":                   {Who: access.Member, Scope: access.Accounts},

	"GET /v1/reports":                     {Who: access.Member, Scope: access.Reports},
	"POST /v1/reports":                    {Who: access.Member, Scope: access.Reports},
	"GET /v1/reports/:report":             {Who: access.Member, Scope: access.Reports},
	"PUT /v1/reports/:report":             {Who: access.Member, Scope: access.Reports},
	"POST /v1/reports/:report/withdrawal": {Who: access.Member, Scope: access.Reports},
	"POST /v1/receipts":                   {Who: access.Member, Scope: access.Reports},
	"POST /v1/exchange":                   {Who: access.Member, Scope: access.Reports},

	"POST /v1/imports":                {Who: access.Moderated, Scope: access.Moderate},
	"PUT /v1/rates/:currency/:day":    {Who: access.Moderated, Scope: access.Moderate},
	"PUT /v1/ports/:port":             {Who: access.Moderated, Scope: access.Moderate},
	"DELETE /v1/ports/:port":          {Who: access.Moderated, Scope: access.Moderate},
	"GET /v1/questioned":              {Who: access.Moderated, Scope: access.Moderate},
	"GET /v1/doubtful":                {Who: access.Moderated, Scope: access.Moderate},
	"PUT /v1/doubtful/:report":        {Who: access.Moderated, Scope: access.Moderate},
	"GET /v1/standouts":               {Who: access.Moderated, Scope: access.Moderate},
	"GET /v1/accounts":                {Who: access.Moderated, Scope: access.Moderate},
	"PUT /v1/accounts/:account/state": {Who: access.Moderated, Scope: access.Moderate},
	"POST /v1/invitations":            {Who: access.Moderated, Scope: access.Moderate},
	"GET /v1/audit":                   {Who: access.Moderated, Scope: access.Moderate},
}

// sharedOnly are the endpoints that mean nothing without accounts.
var sharedOnly = map[string]bool{
	"POST /v1/accounts": true, "POST /v1/logins": true, "GET /v1/account": true, "DELETE /v1/account": true, "PUT /v1/account/password": true, "GET /v1/keys": true,
	"POST /v1/account/second-factor": true, "PUT /v1/account/second-factor": true, "POST /v1/account/second-factor/removal": true,
	"POST /v1/keys": true, "DELETE /v1/keys/:key": true, "GET /v1/doubtful": true, "PUT /v1/doubtful/:report": true, "GET /v1/accounts": true,
	"PUT /v1/accounts/:account/state": true, "POST /v1/invitations": true, "GET /v1/audit": true,
}
