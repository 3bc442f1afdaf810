# Random-intercept predictions of lme4, to compare with the posterior under lme4's own variance components.
# Made with Debian's R 4.2.2 and lme4 1.1-31.   Rscript blup.R > blup.csv
suppressMessages(library(lme4))
set.seed(7)
d <- expand.grid(rep = 1:4, machine = paste0("m", 1:6), user = paste0("u", 1:5))
keep <- sample(nrow(d), 70)
d <- d[keep, ]
d$y <- 0.05 + rnorm(6, 0, 0.15)[as.integer(d$machine)] + rnorm(5, 0, 0.10)[as.integer(d$user)] + rnorm(nrow(d), 0, 0.12)
f <- lmer(y ~ 1 + (1 | machine) + (1 | user), d, REML = TRUE)
v <- as.data.frame(VarCorr(f))
cat("# made with", R.version.string, "and lme4", as.character(packageVersion("lme4")), "\n")
for (i in seq_len(nrow(v))) cat(sprintf("sd,%s,%.17g\n", v$grp[i], v$sdcor[i]))
cat(sprintf("fixed,,%.17g\n", fixef(f)))
r <- ranef(f)
for (g in names(r)) for (n in rownames(r[[g]])) cat(sprintf("effect,%s,%.17g\n", n, r[[g]][n, 1]))
for (i in seq_len(nrow(d))) cat(sprintf("weld,%s %s,%.17g\n", d$machine[i], d$user[i], d$y[i]))
