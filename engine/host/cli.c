/* SPDX-License-Identifier: MIT */
#include "host/help.h"
#include "host/host.h"
#include "host/journal.h"
#include "host/new.h"
#include "host/read_log.h"

#include <getopt.h>
#include <string.h>
#include <unistd.h>

static const char usage[] =
    "emberlap: brake temperatures, margins and verdicts for track cars\n"
    "\n"
    "  emberlap new NAME             write NAME.lua to start from, and a log for it\n"
    "  emberlap run SCRIPT [ARGS]    run a script; name=value is el.args.name in it\n"
    "  emberlap check SCRIPT [ARGS]  check it as far as a result is first used\n"
    "  emberlap log FILE [WISHES]    what a log has, and what is made of it\n"
    "  emberlap merge OUT FILE ...   journals of all parts of a sweep into one\n"
    "  emberlap help [TOPIC]         on el, results, annotations, car, rotor ...\n"
    "\n"
    "  --units us|si         units of tables (si)\n"
    "  --out DIR             run:save and journals write below it (.)\n"
    "  --root DIR            files are looked for beside the script, then here\n"
    "  --save                log: write it clean as FILE_clean.csv below --out\n"
    "  --allowance SECONDS   processor time of a script, runs not counted (10)\n"
    "  --workers N           threads of a sweep (one a processor)\n"
    "  --resume              sweeps go on with the rows that are in their journals\n"
    "  --part K/N            only the Kth of N parts of a sweep's rows\n"
    "  --strict              marginal counts as passed\n"
    "  --quiet               only errors on standard error\n"
    "  --help, --version\n"
    "\n"
    "Wishes of a log: time=NAME, speed=NAME, lap=NAME, distance=, altitude=,\n"
    "pressure_front=, pressure_rear=, accel_long=, lateral=, yaw_rate=, throttle=,\n"
    "latitude=, longitude=; speed_unit=UNIT and the like; start=LAT,LON of the start\n"
    "line. What is not named is guessed.\n"
    "\n"
    "Exit status: 0 every run holds or is marginal, 1 a limit is passed, 2 the input\n"
    "or the script is wrong, 3 the engine failed, 130 interrupted.\n";

enum {
    UNITS = 256,
    OUT,
    ROOT,
    STRICT,
    QUIET,
    HELP,
    VERSION,
    SAVE,
    ALLOWANCE,
    WORKERS,
    RESUME,
    PART
};

static const struct option options[] = {{"units", required_argument, NULL, UNITS},
                                        {"out", required_argument, NULL, OUT},
                                        {"root", required_argument, NULL, ROOT},
                                        {"strict", no_argument, NULL, STRICT},
                                        {"quiet", no_argument, NULL, QUIET},
                                        {"help", no_argument, NULL, HELP},
                                        {"version", no_argument, NULL, VERSION},
                                        {"workers", required_argument, NULL, WORKERS},
                                        {"resume", no_argument, NULL, RESUME},
                                        {"part", required_argument, NULL, PART},
                                        {"save", no_argument, NULL, SAVE},
                                        {"allowance", required_argument, NULL, ALLOWANCE},
                                        {NULL, 0, NULL, 0}};
enum { OPTIONS = sizeof options / sizeof options[0] - 1 };

/* Everything the command line says. */
typedef struct cli {
    mbl_host_options host;
    bool save;
    int words;   /* that are no options */
    char **word; /* (words) */
} cli;

static int wrong(const cli *c, const char *format, const char *what, const char *meant)
{
    fprintf(c->host.notes, "emberlap: ");
    fprintf(c->host.notes, format, what);
    if (meant != NULL)
        fprintf(c->host.notes, "; did you mean \"%s\"?", meant);
    fprintf(c->host.notes, " (emberlap --help lists what there is)\n");
    return MBL_EXIT_WRONG;
}

static int unknown_option(const cli *c, const char *text)
{
    const char *names[OPTIONS];
    char name[64];
    for (int i = 0; i < OPTIONS; i++)
        names[i] = options[i].name;
    size_t dashes = strspn(text, "-");
    size_t n = strcspn(text + dashes, "=");
    snprintf(name, sizeof name, "%.*s", (int)n, text + dashes);
    const char *near = mbl_nearest(name, names, OPTIONS);
    char meant[80];
    if (near != NULL)
        snprintf(meant, sizeof meant, "--%s", near);
    return wrong(c, "unknown option \"%.60s\"", text, near != NULL ? meant : NULL);
}

static int read_units(cli *c, const char *text)
{
    if (strcmp(text, "si") == 0)
        c->host.units = MBL_UNITS_SI;
    else if (strcmp(text, "us") == 0)
        c->host.units = MBL_UNITS_US;
    else
        return wrong(c, "--units is \"us\" or \"si\", not \"%.60s\"", text, NULL);
    return -1;
}

static int read_allowance(cli *c, const char *text)
{
    double seconds = 0;
    if (!mbl_number_read(text, strlen(text), &seconds) || !(seconds >= MBL_HOST_ALLOWANCE_LEAST) ||
        !(seconds <= MBL_HOST_ALLOWANCE_MOST))
        return wrong(c, "--allowance is in seconds, 0.01 to 1000000, not \"%.60s\"", text, NULL);
    c->host.allowance = seconds;
    return -1;
}

/* Digits only, 1 to most; *end is what follows. 0 when it is no such number. */
static int read_count(const char *text, int most, const char **end)
{
    int n = 0;
    for (; *text >= '0' && *text <= '9' && n <= most; text++)
        n = 10 * n + (*text - '0');
    *end = text;
    return n <= most ? n : 0;
}

static int read_workers(cli *c, const char *text)
{
    const char *end;
    c->host.workers = read_count(text, MBL_HOST_WORKERS, &end);
    if (c->host.workers == 0 || *end != '\0')
        return wrong(c, "--workers is a whole number from 1 to 256, not \"%.60s\"", text, NULL);
    return -1;
}

static int read_part(cli *c, const char *text)
{
    const char *end;
    c->host.part = read_count(text, MBL_HOST_PARTS, &end);
    c->host.parts = *end == '/' ? read_count(end + 1, MBL_HOST_PARTS, &end) : 0;
    if (c->host.part == 0 || c->host.part > c->host.parts || *end != '\0')
        return wrong(c, "--part is K/N as in 3/64, K from 1 to N, N up to 10000, not \"%.60s\"",
                     text, NULL);
    return -1;
}

static int processors(void)
{
    long n = sysconf(_SC_NPROCESSORS_ONLN);
    return n < 1 ? 1 : n > MBL_HOST_WORKERS ? MBL_HOST_WORKERS : (int)n;
}

static int show_version(const cli *c)
{
    fprintf(c->host.out, "emberlap %s\n", MBL_VERSION);
    return MBL_EXIT_HOLDS;
}

/* One option; an exit code, or -1 to go on. */
static int take_option(cli *c, int option, const char *text)
{
    switch (option) {
    case UNITS:
        return read_units(c, optarg);
    case OUT:
        if (optarg[0] == '\0')
            return wrong(c, "--out needs the name of a folder%s", "", NULL);
        c->host.out_dir = optarg;
        return -1;
    case ROOT:
        c->host.root = optarg;
        return -1;
    case ALLOWANCE:
        return read_allowance(c, optarg);
    case STRICT:
        c->host.strict = true;
        return -1;
    case QUIET:
        c->host.quiet = true;
        return -1;
    case SAVE:
        c->save = true;
        return -1;
    case HELP:
        fputs(usage, c->host.out);
        return MBL_EXIT_HOLDS;
    case VERSION:
        return show_version(c);
    case WORKERS:
        return read_workers(c, optarg);
    case RESUME:
        c->host.resume = true;
        return -1;
    case PART:
        return read_part(c, optarg);
    case ':':
        return wrong(c, "%.60s needs a value", text, NULL);
    default:
        return unknown_option(c, text);
    }
}

static int read_options(cli *c, int argc, char **argv)
{
    opterr = 0;
    optind = 0; /* begins afresh, also when called again */
    for (;;) {
        int before = optind > 0 ? optind : 1;
        int option = getopt_long(argc, argv, ":", options, NULL);
        if (option == -1)
            break;
        /* a short option does not move on while letters are left in its word */
        const char *text = argv[optind - 1];
        if (option == '?' && text[0] != '-')
            text = argv[before];
        int code = take_option(c, option, text);
        if (code >= 0)
            return code;
    }
    c->words = argc - optind;
    c->word = argv + optind;
    return -1;
}

static int run_script(cli *c, bool check)
{
    if (c->words < 2)
        return wrong(c, "%s needs the name of a script", c->word[0], NULL);
    if (c->save)
        return wrong(c, "--save belongs to log; a script saves with %s", "run:save", NULL);
    for (int i = 2; i < c->words; i++) {
        const char *equals = strchr(c->word[i], '=');
        if (equals == NULL || equals == c->word[i])
            return wrong(c, "after the script come values as name=value, not \"%.60s\"", c->word[i],
                         NULL);
    }
    c->host.check = check;
    c->host.may_end = true;
    c->host.nargs = (size_t)(c->words - 2);
    c->host.args = (const char *const *)(c->word + 2);
    return mbl_host_script(&c->host, c->word[1]);
}

static int new_scenario(const cli *c)
{
    if (c->words != 2)
        return wrong(c, "new needs one name for the scenario%s", "", NULL);
    return mbl_host_new(&c->host, c->word[1]);
}

static int show_log(const cli *c)
{
    if (c->words < 2)
        return wrong(c, "log needs the name of a file%s", "", NULL);
    return mbl_host_log(&c->host, c->word[1], (size_t)(c->words - 2),
                        (const char *const *)(c->word + 2), c->save);
}

static int merge(const cli *c)
{
    if (c->words < 3)
        return wrong(c, "merge needs the name of the new file, and those of the parts%s", "", NULL);
    if (c->host.out_dir != NULL)
        return wrong(c, "--out does not go with merge, whose first name is the new file%s", "",
                     NULL);
    return mbl_journal_merge(&c->host, c->words - 1, c->word + 1);
}

static int show_help(const cli *c)
{
    if (c->words < 2) {
        fputs(usage, c->host.out);
        return MBL_EXIT_HOLDS;
    }
    const char *topic = c->word[1];
    const char *names[MBL_HELP_TOPICS];
    mbl_text text;
    mbl_text_init(&text, c->host.alloc);
    if (!mbl_help(topic, &text))
        return wrong(c, "no help on \"%.60s\"", topic,
                     mbl_nearest(topic, names, mbl_help_topics(names)));
    bool failed = text.failed;
    fputs(mbl_text_get(&text), c->host.out);
    mbl_text_free(&text);
    return failed ? MBL_EXIT_FAILED : MBL_EXIT_HOLDS;
}

int mbl_cli(int argc, char **argv, FILE *out, FILE *notes, const volatile sig_atomic_t *interrupt)
{
    static const char *const commands[] = {"new", "run", "check", "log", "merge", "help"};
    cli c = {
        .host = {.alloc = &mbl_alloc_libc, .out = out, .notes = notes, .interrupt = interrupt}};
    c.host.workers = processors();
    int code = read_options(&c, argc, argv);
    if (code >= 0)
        return code;
    if (c.words == 0) {
        fputs(usage, notes);
        return MBL_EXIT_WRONG;
    }
    const char *command = c.word[0];
    if (strcmp(command, "new") == 0)
        return new_scenario(&c);
    if (strcmp(command, "run") == 0)
        return run_script(&c, false);
    if (strcmp(command, "check") == 0)
        return run_script(&c, true);
    if (strcmp(command, "log") == 0)
        return show_log(&c);
    if (strcmp(command, "merge") == 0)
        return merge(&c);
    if (strcmp(command, "help") == 0)
        return show_help(&c);
    size_t n = strlen(command);
    if (n > 4 && strcmp(command + n - 4, ".lua") == 0)
        return wrong(&c, "\"%.100s\" is a script: emberlap run SCRIPT", command, NULL);
    return wrong(&c, "unknown command \"%.60s\"", command, mbl_nearest(command, commands, 6));
}
