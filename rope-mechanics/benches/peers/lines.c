/* Lines by this library through C, by a textbook Newton and by MINPACK: `lines WAY ROUNDS`, lines from the standard input
 * as `x z l w ea`. Prints the median nanoseconds a line, then the greatest tension of each, nan where it failed. */
#define _POSIX_C_SOURCE 199309L
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#ifdef MINPACK
#include <cminpack.h>
#endif

#include "rope_mechanics.h"
#include "rope_mechanics_units.h"

typedef struct {
    double x, z, l, w, ea;
} line;

enum { MOST = 4000 };
static line lines[MOST];
static double tensions[MOST];
static rmech_length spans[MOST], rises[MOST], lengths[MOST];
static rmech_line_weight weights[MOST];
static rmech_stretch stretches[MOST];
static rmech_line_ends ends[MOST];
static int count;

static rmech_line as_line(const line *c) {
    rmech_line out = RMECH_INIT(rmech_line);
    out.span = rmech_m(c->x);
    out.rise = rmech_m(c->z);
    out.length = rmech_m(c->l);
    out.weight = rmech_n_per_m(c->w);
    out.stretch.a = rmech_n(c->ea);
    return out;
}

static void ours(void) {
    for (int i = 0; i < count; i++) {
        rmech_line given = as_line(&lines[i]);
        rmech_line_state state = RMECH_INIT(rmech_line_state);
        int good = rmech_line_solve(&given, &state, NULL) == RMECH_OK;
        tensions[i] = good ? fmax(state.first_tension.newtons, state.last_tension.newtons) : NAN;
    }
}

static void ours_ends(void) {
    for (int i = 0; i < count; i++) {
        rmech_line given = as_line(&lines[i]);
        rmech_line_ends found;
        int good = rmech_line_solve_ends(&given, &found, NULL) == RMECH_OK;
        tensions[i] = good ? fmax(found.first_tension.newtons, found.last_tension.newtons) : NAN;
    }
}

static void ours_many(void) {
    size_t solved;
    rmech_line_solve_many(spans, rises, lengths, weights, stretches, (size_t)count, ends, &solved, NULL);
    for (int i = 0; i < count; i++)
        tensions[i] = fmax(ends[i].first_tension.newtons, ends[i].last_tension.newtons);
}

/* Gap at the second end and its derivatives by (H, V) there: Irvine's two equations. */
typedef struct {
    double gx, gz, xx, xz, zz;
} gap;

static gap gap_of(const line *c, double h, double v) {
    double va = v - c->w * c->l, tb = sqrt(h * h + v * v), ta = sqrt(h * h + va * va);
    double range = asinh(v / h) - asinh(va / h);
    gap out;
    out.gx = h * (c->l / c->ea + range / c->w) - c->x;
    out.gz = (v - 0.5 * c->w * c->l) * c->l / c->ea + (tb - ta) / c->w - c->z;
    out.zz = c->l / c->ea + (v / tb - va / ta) / c->w;
    out.xx = c->l / c->ea + (range - (v / tb - va / ta)) / c->w;
    out.xz = h / c->w * (1.0 / tb - 1.0 / ta);
    return out;
}

/* The first guess of Peyrot & Goulois (1979). */
static void guess(const line *c, double *h, double *v) {
    double lambda = c->l * c->l <= c->x * c->x + c->z * c->z
                        ? 0.2
                        : sqrt(3.0 * ((c->l * c->l - c->z * c->z) / (c->x * c->x) - 1.0));
    *h = 0.5 * c->w * c->x / lambda;
    *v = 0.5 * c->w * (c->z / tanh(lambda) + c->l);
}

static double greatest(const line *c, double h, double v) { return fmax(hypot(h, v), hypot(h, v - c->w * c->l)); }

/* Jayaraman & Knudson, Computers & Structures 14 (1981), with halving. */
static double textbook_line(const line *c) {
    double h, v;
    guess(c, &h, &v);
    gap at = gap_of(c, h, v);
    double small = 1e-12 * (c->x + fabs(c->z) + c->l);
    for (int i = 0; i < 100; i++) {
        double size = fabs(at.gx) + fabs(at.gz);
        if (size <= small)
            return greatest(c, h, v);
        double det = at.xx * at.zz - at.xz * at.xz;
        double dh = (at.xz * at.gz - at.zz * at.gx) / det, dv = (at.xz * at.gx - at.xx * at.gz) / det;
        double part = 1.0;
        for (;; part *= 0.5) {
            if (part < 1e-9)
                return NAN;
            if (h + part * dh <= 0.0)
                continue;
            gap next = gap_of(c, h + part * dh, v + part * dv);
            if (fabs(next.gx) + fabs(next.gz) < size) {
                h += part * dh, v += part * dv, at = next;
                break;
            }
        }
    }
    return NAN;
}

static void textbook(void) {
    for (int i = 0; i < count; i++)
        tensions[i] = textbook_line(&lines[i]);
}

#ifdef MINPACK
static int equations(void *given, int n, const double *at, double *f, double *jac, int ld, int flag) {
    (void)n;
    gap g = gap_of(given, at[0], at[1]);
    if (flag == 1)
        f[0] = g.gx, f[1] = g.gz;
    else
        jac[0] = g.xx, jac[1] = g.xz, jac[ld] = g.xz, jac[ld + 1] = g.zz;
    return 0;
}

static void minpack(void) {
    for (int i = 0; i < count; i++) {
        double at[2], f[2], jac[4], work[15];
        guess(&lines[i], &at[0], &at[1]);
        int info = hybrj1(equations, &lines[i], 2, at, f, jac, 2, 1e-12, work, 15);
        tensions[i] = info == 1 ? greatest(&lines[i], at[0], at[1]) : NAN;
    }
}
#endif

static int by_size(const void *a, const void *b) {
    double d = *(const double *)a - *(const double *)b;
    return (d > 0.0) - (d < 0.0);
}

int main(int argc, char **argv) {
    const struct {
        const char *name;
        void (*run)(void);
    } ways[] = {{"ours", ours},         {"ours_ends", ours_ends}, {"ours_many", ours_many}, {"textbook", textbook},
#ifdef MINPACK
                {"minpack", minpack},
#endif
    };
    void (*run)(void) = NULL;
    for (size_t i = 0; argc == 3 && i < sizeof ways / sizeof *ways; i++)
        if (strcmp(argv[1], ways[i].name) == 0)
            run = ways[i].run;
    int rounds = argc == 3 ? atoi(argv[2]) : 0;
    if (run == NULL || rounds < 1 || rounds > 1000)
        return EXIT_FAILURE;
    line c;
    while (count < MOST && scanf("%lf %lf %lf %lf %lf", &c.x, &c.z, &c.l, &c.w, &c.ea) == 5) {
        rmech_line given = as_line(&c);
        spans[count] = given.span;
        rises[count] = given.rise;
        lengths[count] = given.length;
        weights[count] = given.weight;
        stretches[count] = given.stretch;
        lines[count++] = c;
    }
    static double times[1000];
    for (int i = 0; i < rounds; i++) {
        struct timespec from, to;
        clock_gettime(CLOCK_THREAD_CPUTIME_ID, &from);
        run();
        clock_gettime(CLOCK_THREAD_CPUTIME_ID, &to);
        times[i] = ((double)(to.tv_sec - from.tv_sec) * 1e9 + (double)(to.tv_nsec - from.tv_nsec)) / count;
    }
    qsort(times, (size_t)rounds, sizeof *times, by_size);
    printf("%.17g\n", times[rounds / 2]);
    for (int i = 0; i < count; i++)
        printf("%.17g\n", tensions[i]);
    return EXIT_SUCCESS;
}
