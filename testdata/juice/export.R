# Shelf prices of eleven orange juices in eighty-three shops of the Chicago
# area over 121 weeks, 1990-1992: data set orangeJuice of the R package bayesm
# (Rossi, GPL-2 or later), from the Dominick's database of the Kilts Center,
# University of Chicago Booth School of Business. Debian: r-cran-bayesm.
#
# Rscript export.R DIR WEEK DENSITY writes a port price dataset into DIR with
# DENSITY reports per pair, drawn evenly from the prices up to WEEK, and in
# truth.csv every price of WEEK itself. Shops stand for ports; reporters are
# invented, prices are not.
args <- commandArgs(TRUE)
dir <- args[1]; week <- as.integer(args[2]); density <- as.numeric(args[3])
data(orangeJuice, package = "bayesm")
yx <- orangeJuice$yx
yx$price <- as.matrix(yx[, paste0("price", 1:11)])[cbind(seq_len(nrow(yx)), yx$brand)] * 64 # of 64 ounces
yx <- yx[yx$price > 0.2, ]
day <- function(w) format(as.Date("1989-09-14") + 7 * w)
stores <- sort(unique(yx$store)); brands <- sort(unique(yx$brand))
set.seed(1000 * week + round(100 * density))
past <- yx[yx$week <= week, ]
n <- round(density * length(stores) * length(brands))
past <- past[sort(sample(nrow(past), n)), ]
port <- function(s) sprintf("S%03d", s); item <- function(b) sprintf("juice%02d", b)
dir.create(dir, showWarnings = FALSE)
out <- function(x, name) write.csv(x, file.path(dir, name), row.names = FALSE, quote = FALSE, na = "")
out(data.frame(port = port(stores), name = port(stores), country = "US", latitude = "", longitude = ""), "ports.csv")
out(data.frame(item = item(brands), name = item(brands), category = "juice", unit = "each", list_pack = 1), "items.csv")
out(data.frame(currency = "USD", day = "1990-01-01", per_reference = 1), "rates.csv")
out(data.frame(report = sprintf("%08d-0000-4000-8000-%012d", week, seq_len(n)), port = port(past$store), item = item(past$brand),
  day = day(past$week), found = "yes", amount = sprintf("%.2f", past$price), currency = "USD", pack = 1, shop = "",
  reporter = sprintf("r%02d", sample(60, n, TRUE)), source = "receipt", quality = "", origin = "", note = "", replaces = ""), "reports.csv")
now <- yx[yx$week == week, ]
out(data.frame(port = port(now$store), item = item(now$brand), day = day(now$week), price = sprintf("%.4f", now$price),
  receipt = sprintf("%.4f", now$price)), "truth.csv")
