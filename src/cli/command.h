/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * command.h: the subcommands of tarn-cli, and how each tells its outcome.
 *
 * Floor: cli. */
#pragma once

/* Also the process's exit code. */
typedef enum
{
  TARN_EXIT_DONE = 0,
  TARN_EXIT_BAD_INPUT = 1, /* a file, a pose or a place to write to is at fault */
  TARN_EXIT_USAGE = 2,     /* the command line is */
} TarnExit;

static inline TarnExit
tarn_exit_worse (TarnExit a, TarnExit b)
{
  return a > b ? a : b;
}

struct TarnSyntax;

typedef struct
{
  const struct TarnSyntax *syntax;
  TarnExit (*run) (int argc, char **argv); /* argv[0] is the command's own name */
} TarnCommand;

#define TARN_COMMANDS 10
extern const TarnCommand tarn_command[TARN_COMMANDS];

extern const struct TarnSyntax tarn_scan_syntax, tarn_calipers_syntax, tarn_check_syntax,
    tarn_mesh_syntax, tarn_replay_syntax, tarn_window_syntax, tarn_learn_syntax,
    tarn_labels_syntax, tarn_import_syntax, tarn_sheet_syntax;

TarnExit tarn_command_scan (int argc, char **argv);
TarnExit tarn_command_calipers (int argc, char **argv);
TarnExit tarn_command_check (int argc, char **argv);
TarnExit tarn_command_mesh (int argc, char **argv);
TarnExit tarn_command_import (int argc, char **argv);
TarnExit tarn_command_labels (int argc, char **argv);
TarnExit tarn_command_learn (int argc, char **argv);
TarnExit tarn_command_replay (int argc, char **argv);
TarnExit tarn_command_sheet (int argc, char **argv);
TarnExit tarn_command_window (int argc, char **argv);

/* The whole program: finds the command and runs it.  Prints to standard output and error. */
TarnExit tarn_cli_run (int argc, char **argv);

/* One line on standard error: "tarn-cli: " and the message.  Returns @outcome. */
TarnExit tarn_complain (TarnExit outcome, const char *format, ...)
    __attribute__ ((format (printf, 2, 3)));
