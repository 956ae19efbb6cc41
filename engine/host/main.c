/* SPDX-License-Identifier: MIT */
#include "host/host.h"

#include <signal.h>
#include <stdio.h>

/* The one thing a signal handler can reach. */
static volatile sig_atomic_t interrupted;

/* The first asks the script to stop; the second, in a loop that does not listen, ends us. */
static void interrupt(int number)
{
    interrupted = 1;
    (void)signal(number, SIG_DFL);
}

int main(int argc, char **argv)
{
    struct sigaction action = {.sa_handler = interrupt, .sa_flags = SA_RESTART};
    sigemptyset(&action.sa_mask);
    sigaction(SIGINT, &action, NULL);
    /* a file that may not grow any more is an error to tell, not an end */
    (void)signal(SIGXFSZ, SIG_IGN);
    /* what a script has printed is out, also when the script then has to be ended */
    setvbuf(stdout, NULL, _IOLBF, BUFSIZ);
    return mbl_cli(argc, argv, stdout, stderr, &interrupted);
}
