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
  const char *fallback; /* what --help says of the default; NULL: the value itself */
} TarnOption;

#define TARN_OPERANDS_MAX 4096

/* A command's line: `tarn-cli NAME SYNOPSIS`. */
typedef struct TarnSyntax
{
  const char *name, *synopsis;
  const char *summary;      /* a few words, for the list of commands */
  const char *about;        /* a sentence or two */
  const TarnOption *shared; /* options that several commands have, then the command's own */
  int shared_options;
  const TarnOption *own;
  int own_options;
  const void *defaults; /* settings before any option is read */
  int operands_min, operands_max;
} TarnSyntax;

/* @index: 0 … tarn_syntax_options () - 1. */
int tarn_syntax_options (const TarnSyntax *syntax);
const TarnOption *tarn_syntax_option (const TarnSyntax *syntax, int index);

/* "-20 to 60; 40", or "" when there is nothing to say.  @text: out. */
void tarn_option_describe_range (const TarnOption *option, const void *defaults, char *text,
                                 size_t size);

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
