/* SPDX-License-Identifier: MIT */
#include "host/host.h"
#include "host/read_log.h"

#include <getopt.h>
#include <string.h>

static const char usage[] =
    "emberlap: brake temperatures, margins and verdicts for track cars\n"
    "\n"
    "  emberlap run SCRIPT [name=value ...]   run a script; name=value is el.args.name in it\n"
    "  emberlap check SCRIPT [name=value ...] check it as far as a result is first used\n"
    "  emberlap log FILE [wishes]             what a logger's file has, and what is made of it\n"
    "  emberlap help [el | car | rotor | ...] what scripts can call; the keys of a definition\n"
    "\n"
    "  --units us|si   units of tables (si)      --out DIR    run:save writes below it (.)\n"
    "  --root DIR      files are looked for beside the script, then here\n"
    "  --save          log: write it clean as FILE_clean.csv below --out\n"
    "  --strict        marginal counts as passed --quiet      only errors on standard error\n"
    "  --help          this page                 --version    the version\n"
    "\n"
    "Wishes of a log: time=NAME, speed=NAME, lap=NAME, distance=, altitude=, pressure_front=,\n"
    "pressure_rear=, accel_long=, accel_lat=, throttle=, latitude=, longitude=; speed_unit=UNIT\n"
    "and the like; start=LAT,LON of the start line. What is not named is guessed.\n"
    "\n"
    "Exit status: 0 every run holds or is marginal, 1 a limit is passed, 2 the input or the\n"
    "script is wrong, 3 the engine failed, 130 interrupted.\n";

enum { UNITS = 256, OUT, ROOT, STRICT, QUIET, HELP, VERSION, SAVE, WORKERS, RESUME };

static const struct option options[] = {{"units", required_argument, NULL, UNITS},
                                        {"out", required_argument, NULL, OUT},
                                        {"root", required_argument, NULL, ROOT},
                                        {"strict", no_argument, NULL, STRICT},
                                        {"quiet", no_argument, NULL, QUIET},
                                        {"help", no_argument, NULL, HELP},
                                        {"version", no_argument, NULL, VERSION},
                                        {"workers", required_argument, NULL, WORKERS},
                                        {"resume", no_argument, NULL, RESUME},
                                        {"save", no_argument, NULL, SAVE},
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
    case RESUME:
        return wrong(c, "%s comes with sweeps, not yet modelled",
                     option == WORKERS ? "--workers" : "--resume", NULL);
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
    c->host.nargs = (size_t)(c->words - 2);
    c->host.args = (const char *const *)(c->word + 2);
    return mbl_host_script(&c->host, c->word[1]);
}

static int show_log(const cli *c)
{
    if (c->words < 2)
        return wrong(c, "log needs the name of a file%s", "", NULL);
    return mbl_host_log(&c->host, c->word[1], (size_t)(c->words - 2),
                        (const char *const *)(c->word + 2), c->save);
}

static int show_help(const cli *c)
{
    if (c->words < 2) {
        fputs(usage, c->host.out);
        return MBL_EXIT_HOLDS;
    }
    const char *topic = c->word[1];
    const char *names[32] = {"el"};
    size_t n = 1;
    const mbl_schema *schema = NULL;
    for (; mbl_schemas[n - 1] != NULL && n < 32; n++) {
        names[n] = mbl_schemas[n - 1]->name;
        if (strcmp(names[n], topic) == 0)
            schema = mbl_schemas[n - 1];
    }
    if (schema == NULL && strcmp(topic, "el") != 0)
        return wrong(c, "no help on \"%.60s\"", topic, mbl_nearest(topic, names, n));
    mbl_text text;
    mbl_text_init(&text, c->host.alloc);
    if (schema != NULL)
        mbl_schema_document(schema, &text);
    else
        mbl_host_document(&text);
    bool failed = text.failed;
    fputs(mbl_text_get(&text), c->host.out);
    mbl_text_free(&text);
    return failed ? MBL_EXIT_FAILED : MBL_EXIT_HOLDS;
}

int mbl_cli(int argc, char **argv, FILE *out, FILE *notes, const volatile sig_atomic_t *interrupt)
{
    static const char *const commands[] = {"run", "check", "log", "help"};
    cli c = {
        .host = {.alloc = &mbl_alloc_libc, .out = out, .notes = notes, .interrupt = interrupt}};
    int code = read_options(&c, argc, argv);
    if (code >= 0)
        return code;
    if (c.words == 0) {
        fputs(usage, notes);
        return MBL_EXIT_WRONG;
    }
    const char *command = c.word[0];
    if (strcmp(command, "run") == 0)
        return run_script(&c, false);
    if (strcmp(command, "check") == 0)
        return run_script(&c, true);
    if (strcmp(command, "log") == 0)
        return show_log(&c);
    if (strcmp(command, "help") == 0)
        return show_help(&c);
    size_t n = strlen(command);
    if (n > 4 && strcmp(command + n - 4, ".lua") == 0)
        return wrong(&c, "\"%.100s\" is a script: emberlap run SCRIPT", command, NULL);
    return wrong(&c, "unknown command \"%.60s\"", command, mbl_nearest(command, commands, 4));
}
