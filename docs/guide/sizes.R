# Sends a folder of tables to Fineband, reads the answers, and draws D50 over the files.
#
#   Rscript sizes.R FOLDER DENSITY [PICTURE.svg]
#
# Needs R 4 and nothing beside it. FINEBAND says how the command is called, "fineband" when it is not set.

given <- commandArgs(trailingOnly = TRUE)
if (length(given) < 2) stop("Call it so: Rscript sizes.R FOLDER DENSITY [PICTURE.svg]", call. = FALSE)
folder <- given[1]
density <- given[2]
out <- if (length(given) > 2) given[3] else "d50.svg"

command <- strsplit(Sys.getenv("FINEBAND", "fineband"), " ")[[1]]
asked <- c(command[-1], "describe", shQuote(folder), "--density", density, "--rows", "csv")
lines <- system2(command[1], asked, stdout = TRUE)
rows <- read.csv(text = lines, check.names = FALSE)

d50_um <- rows[["percentilesUm.50"]]
svg(out, width = 7, height = 3.5)
plot(d50_um, pch = 16, cex = 0.6, xlab = "measurements in order", ylab = "D50 in \u00b5m")
invisible(dev.off())
cat(sprintf("%d measurements, mean D50 %.3f um; picture in %s.\n", length(d50_um), mean(d50_um), out))
