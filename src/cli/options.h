/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * options.h: one list of options that the command line, the columns of a table of poses and
 * --help share.
 *
 * Floor: cli.  An option fills a member of the command's own settings, which hold the default
 * beforehand.  Numbers are read as in the C locale; NaN and infinities are refused. */
#pragma once

#include "base/status.h"
#include "cli/command.h"

#include <stdbool.h>
#include <stddef.h>

typedef enum
{
  TARN_OPTION_SWITCH,  /* bool, no value */
  TARN_OPTION_NUMBER,  /* double */
  TARN_OPTION_INTEGER, /* int */
  TARN_OPTION_SEED,    /* uint64_t */
  TARN_OPTION_PATH,    /* const char *, points into argv */
} TarnOptionKind;

typedef struct
{
  const char *name;    /* without the dashes; also a table's column */
  const char *metavar; /* how --help calls the value; NULL for a switch */
  TarnOptionKind kind;
  size_t offset;        /* of the member within the settings */
  double low, high;     /* of a number or an integer */
  const char *help;     /* one line, without the range and default */
  const char *fallback; /* what --help says of the default; NULL: the settings' own value */
} TarnOption;

#define TARN_OPERANDS_MAX 4096

/* A command's line: `tarn-cli NAME SYNOPSIS`. */
typedef struct
{
  const char *name, *synopsis, *about;
  const TarnOption *option;
  int options;
  int operands_min, operands_max;
} TarnSyntax;

/* Reads @text into the member that @option names.  Returns TARN_OK, or TARN_OUT_OF_RANGE with
 * @problem's text set, and leaves the settings alone. */
TarnStatus tarn_option_set (const TarnOption *option, void *settings, const char *text,
                            TarnProblem *problem);

/* NULL when there is none. */
const TarnOption *tarn_option_find (const TarnOption *option, int options, const char *name,
                                    size_t length);

/**
 * Reads a command's line.
 *
 * @settings: in with the defaults, out.
 * @operand: out, pointers into @argv; room for operands_max.
 * @operands: out, how many there are.
 * @outcome: out, what to end with when the command has nothing left to do: after --help or a
 *   mistake, which has then been told.
 *
 * Returns true when the command should go on.
 */
bool tarn_options_read (const TarnSyntax *syntax, int argc, char **argv, void *settings,
                        const char **operand, int *operands, TarnExit *outcome);
