/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A log's text: read line by line, refused whole at the first line that is not right, and
 * written with as few characters as bring back the same bits. */
#include "store/attempt_log_text.h"

#include <math.h>
#include <string.h>

#define SAME "="

static const char *const mode_name[TARN_MODES] = { "guided", "practice", "exam" };

/* From memory. */

typedef struct
{
  const char *name;
  int line; /* being read, from 1 */
  char **lines;
  int version;
  TarnInput hand; /* the last one */
  gboolean has_hand;
  TarnAttemptLog *log;
} Reader;

static gboolean G_GNUC_PRINTF (3, 4)
    refuse (const Reader *reader, GError **error, const char *format, ...)
{
  va_list arguments;
  va_start (arguments, format);
  g_autofree char *what = g_strdup_vprintf (format, arguments);
  va_end (arguments);
  g_set_error (error, TARN_ATTEMPT_LOG_ERROR, TARN_ATTEMPT_LOG_ERROR_INVALID, "%s:%d: %s",
               reader->name, reader->line, what);
  return FALSE;
}

/* A plain decimal number: no blanks, no hexadecimal, no infinity. */
static gboolean
read_number (const char *text, double *number)
{
  char *end = NULL;
  if (text[0] == '\0' || strspn (text, "0123456789+-.eE") != strlen (text))
    return FALSE;
  *number = g_ascii_strtod (text, &end);
  return *end == '\0' && isfinite (*number);
}

/* The next header line's value, after its key and one blank. */
static const char *
header (Reader *reader, const char *key, GError **error)
{
  const char *line = reader->lines[reader->line];
  gsize length = strlen (key);
  reader->line++;
  if (line == NULL || strncmp (line, key, length) != 0 || line[length] != ' '
      || line[length + 1] == '\0')
    {
      refuse (reader, error, "here should stand \"%s\" and its value", key);
      return NULL;
    }
  return line + length + 1;
}

static gboolean
is_sha256 (const char *text)
{
  return strlen (text) == 64 && strspn (text, "0123456789abcdef") == 64;
}

static gboolean
has_control (const char *text)
{
  for (; *text != '\0'; text++)
    if (g_ascii_iscntrl (*text))
      return TRUE;
  return FALSE;
}

static gboolean
read_mode (Reader *reader, const char *text, GError **error)
{
  for (int mode = 0; mode < TARN_MODES; mode++)
    if (strcmp (text, mode_name[mode]) == 0)
      {
        reader->log->mode = (TarnMode)mode;
        return TRUE;
      }
  return refuse (reader, error, "mode is guided, practice or exam");
}

static gboolean
read_version (Reader *reader, GError **error)
{
  const char *line = reader->lines[0];
  guint64 version = 0;
  reader->line = 1;
  if (line == NULL || !g_str_has_prefix (line, TARN_LOG_FIRST_WORD)
      || !g_ascii_string_to_unsigned (line + strlen (TARN_LOG_FIRST_WORD), 10, 1, G_MAXINT,
                                      &version, NULL))
    return refuse (reader, error, "no log of an attempt (\"%s\")", TARN_LOG_FIRST_LINE);
  if (version > TARN_LOG_VERSION)
    return refuse (reader, error, "a log of version %d; this program reads up to version %d",
                   (int)version, TARN_LOG_VERSION);
  reader->version = (int)version;
  return TRUE;
}

static gboolean
read_headers (Reader *reader, GError **error)
{
  TarnAttemptLog *log = reader->log;
  if (!read_version (reader, error))
    return FALSE;

  const char *path = header (reader, "patient", error);
  if (path == NULL)
    return FALSE;
  if (has_control (path))
    return refuse (reader, error, "the patient's path has control characters");
  log->patient_path = g_strdup (path);

  const char *sha256 = header (reader, "sha256", error);
  if (sha256 == NULL)
    return FALSE;
  if (!is_sha256 (sha256))
    return refuse (reader, error, "sha256 is 64 digits and letters a to f");
  g_strlcpy (log->sha256, sha256, sizeof log->sha256);

  const char *mode = header (reader, "mode", error);
  if (mode == NULL || !read_mode (reader, mode, error))
    return FALSE;
  const char *seed = header (reader, "seed", error);
  guint64 seed_read = 0;
  if (seed == NULL)
    return FALSE;
  if (!g_ascii_string_to_unsigned (seed, 10, 0, G_MAXUINT64, &seed_read, NULL))
    return refuse (reader, error, "seed is a whole number from 0 to 18446744073709551615");
  log->seed = seed_read;

  const char *retention = header (reader, "retention-ml", error);
  if (retention == NULL)
    return FALSE;
  if (!read_number (retention, &log->retention_ml) || log->retention_ml < 0)
    return refuse (reader, error, "retention-ml is a number from 0 up");
  return TRUE;
}

static gboolean
find_kind (const char *name, TarnInput *input)
{
  for (int kind = 0; kind < TARN_INPUTS; kind++)
    if (strcmp (name, tarn_input_kind_name ((TarnInputKind)kind)) == 0)
      {
        input->kind = (uint8_t)kind;
        return TRUE;
      }
  return FALSE;
}

/* The whole numbers that stand behind a kind. */
enum
{
  CODE = 1 << 0,
  CAUSE = 1 << 1,
  READING = 1 << 2,
};

static unsigned
codes_of (int version, TarnInputKind kind)
{
  if (version == 1)
    return CODE | CAUSE | READING;
  switch (kind)
    {
    case TARN_INPUT_FREEZE:
    case TARN_INPUT_DEED:
    case TARN_INPUT_CALIPER:
      return CODE;
    case TARN_INPUT_JUDGE:
      return CODE | CAUSE | READING;
    case TARN_INPUT_RECORD:
      return CODE | READING;
    default:
      return 0;
    }
}

static int
count_of (unsigned codes)
{
  return (int)((codes & CODE) / CODE + (codes & CAUSE) / CAUSE + (codes & READING) / READING);
}

/* Those of @codes, from words of which there are enough.  Returns how many words they took, or
 * -1. */
static int
read_codes (char **word, unsigned codes, TarnInput *input)
{
  guint64 code = 0, cause = 0;
  gint64 reading = 0;
  int at = 0;
  if ((codes & CODE)
      && !g_ascii_string_to_unsigned (word[at++], 10, 0, G_MAXUINT8, &code, NULL))
    return -1;
  if ((codes & CAUSE)
      && !g_ascii_string_to_unsigned (word[at++], 10, 0, G_MAXUINT8, &cause, NULL))
    return -1;
  if ((codes & READING)
      && !g_ascii_string_to_signed (word[at++], 10, G_MININT8, G_MAXINT8, &reading, NULL))
    return -1;
  input->code = (uint8_t)code;
  input->cause = (uint8_t)cause;
  input->reading = (int8_t)reading;
  return at;
}

/* A hand's values may be those of the hand above: "=" says so, and what is left out at the end
 * does too. */
static gboolean
read_values (Reader *reader, char **word, TarnInput *input, GError **error)
{
  int values = tarn_input_values ((TarnInputKind)input->kind),
      given = (int)g_strv_length (word);
  gboolean may_be_same = reader->version > 1 && input->kind == TARN_INPUT_HAND;
  if (given > values || (given < values && !(may_be_same && reader->has_hand)))
    return refuse (reader, error, "%s has %d values, not %d",
                   tarn_input_kind_name ((TarnInputKind)input->kind), values, given);
  for (int k = 0; k < values; k++)
    if (may_be_same && reader->has_hand && (k >= given || strcmp (word[k], SAME) == 0))
      input->value[k] = reader->hand.value[k];
    else if (!read_number (word[k], &input->value[k]))
      return refuse (reader, error, "\"%.40s\" is no number", word[k]);
  if (may_be_same)
    {
      reader->hand = *input;
      reader->has_hand = TRUE;
    }
  return TRUE;
}

static gboolean
read_input (Reader *reader, const char *line, GError **error)
{
  g_auto (GStrv) word = g_strsplit (line, " ", 5 + TARN_INPUT_VALUES + 1);
  GArray *inputs = reader->log->inputs;
  TarnInput input = { 0 };
  guint words = g_strv_length (word);
  guint64 tick;
  if (words < 2)
    return refuse (reader, error, "an input has at least a tick and a kind");
  if (!find_kind (word[1], &input))
    return refuse (reader, error, "there is no input \"%.40s\"", word[1]);
  unsigned codes = codes_of (reader->version, (TarnInputKind)input.kind);
  if (words < 2 + (guint)count_of (codes))
    return refuse (reader, error, "%s has %d whole numbers behind it, not %u", word[1],
                   count_of (codes), words - 2);
  int taken = read_codes (word + 2, codes, &input);
  if (taken < 0
      || !g_ascii_string_to_unsigned (word[0], 10, 0, TARN_ATTEMPT_TICKS_MAX, &tick, NULL))
    return refuse (reader, error, "tick, code, cause or reading is no whole number in range");
  input.tick = (uint32_t)tick;
  if (!read_values (reader, word + 2 + taken, &input, error))
    return FALSE;
  if (inputs->len > 0 && g_array_index (inputs, TarnInput, inputs->len - 1).tick > input.tick)
    return refuse (reader, error, "an input comes before the one above it");
  if (inputs->len >= TARN_LOG_INPUTS_MAX)
    return refuse (reader, error, "more than %d inputs", TARN_LOG_INPUTS_MAX);
  g_array_append_val (inputs, input);
  return TRUE;
}

static gboolean
read_inputs (Reader *reader, GError **error)
{
  while (reader->lines[reader->line] != NULL)
    {
      const char *line = reader->lines[reader->line++];
      if (!read_input (reader, line, error))
        return FALSE;
    }
  return TRUE;
}

gsize
tarn_log_whole_lines (const char *data, gsize length)
{
  while (length > 0 && data[length - 1] != '\n')
    length--;
  return length;
}

TarnAttemptLog *
tarn_attempt_log_parse (const char *data, gsize length, const char *name, GError **error)
{
  TarnAttemptSetup setup = tarn_attempt_setup_default ();
  g_autoptr (TarnAttemptLog) log = tarn_attempt_log_new (NULL, "", &setup);
  Reader reader = { .name = name, .line = 1, .log = log };
  gsize whole = tarn_log_whole_lines (data, length);
  const char *bad = NULL;
  log->torn = whole < length;
  if (length > TARN_LOG_BYTES_MAX)
    {
      refuse (&reader, error, "larger than a log may be");
      return NULL;
    }
  if (!g_utf8_validate_len (data, whole, &bad))
    {
      for (const char *at = data; at < bad; at++)
        reader.line += *at == '\n';
      refuse (&reader, error, "not UTF-8 text");
      return NULL;
    }

  /* Without the last newline, which would leave an empty line behind it. */
  g_autofree char *text = g_strndup (data, whole > 0 ? whole - 1 : 0);
  g_auto (GStrv) lines = g_strsplit (text, "\n", -1);
  reader.lines = lines;
  if (!read_headers (&reader, error) || !read_inputs (&reader, error))
    return NULL;
  return g_steal_pointer (&log);
}

/* To memory. */

/* With as many digits as bring back the same bits. */
static void
append_number (GString *out, double number)
{
  static const char *const format[] = { "%.15g", "%.16g", "%.17g" };
  char digits[G_ASCII_DTOSTR_BUF_SIZE];
  gsize k = 0;
  do
    g_ascii_formatd (digits, sizeof digits, format[k++], number);
  while (k < G_N_ELEMENTS (format) && !(g_ascii_strtod (digits, NULL) == number));
  g_string_append (out, digits);
}

static gboolean
same_bits (double a, double b)
{
  return memcmp (&a, &b, sizeof a) == 0;
}

/* One input after the other. */
typedef struct
{
  GString *out;
  int version;
  TarnInput hand; /* the last one written */
  gboolean has_hand;
} Writer;

static void
append_values (Writer *writer, const TarnInput *input)
{
  int values = tarn_input_values ((TarnInputKind)input->kind);
  gboolean hand = writer->version > 1 && input->kind == TARN_INPUT_HAND;
  const double *last = hand && writer->has_hand ? writer->hand.value : NULL;
  while (last != NULL && values > 0 && same_bits (input->value[values - 1], last[values - 1]))
    values--;
  for (int k = 0; k < values; k++)
    {
      g_string_append_c (writer->out, ' ');
      if (last != NULL && same_bits (input->value[k], last[k]))
        g_string_append (writer->out, SAME);
      else
        append_number (writer->out, input->value[k]);
    }
  if (hand)
    {
      writer->hand = *input;
      writer->has_hand = TRUE;
    }
}

static void
append_input (Writer *writer, const TarnInput *input)
{
  TarnInputKind kind = (TarnInputKind)input->kind;
  unsigned codes = codes_of (writer->version, kind);
  g_string_append_printf (writer->out, "%u %s", input->tick, tarn_input_kind_name (kind));
  if (codes & CODE)
    g_string_append_printf (writer->out, " %u", input->code);
  if (codes & CAUSE)
    g_string_append_printf (writer->out, " %u", input->cause);
  if (codes & READING)
    g_string_append_printf (writer->out, " %d", input->reading);
  append_values (writer, input);
  g_string_append_c (writer->out, '\n');
}

void
tarn_log_append_inputs (GString *out, int version, const TarnInput *input, gsize count)
{
  Writer writer = { .out = out, .version = version };
  for (gsize k = 0; k < count; k++)
    append_input (&writer, &input[k]);
}

char *
tarn_attempt_log_format (const TarnAttemptLog *log, gsize *length)
{
  GString *out = g_string_new (TARN_LOG_FIRST_LINE "\n");
  g_string_append_printf (out, "patient %s\nsha256 %s\nmode %s\nseed %" G_GUINT64_FORMAT "\n",
                          log->patient_path, log->sha256, mode_name[log->mode],
                          (guint64)log->seed);
  g_string_append (out, "retention-ml ");
  append_number (out, log->retention_ml);
  g_string_append_c (out, '\n');
  tarn_log_append_inputs (out, TARN_LOG_VERSION,
                          (const TarnInput *)(const void *)log->inputs->data, log->inputs->len);
  if (length != NULL)
    *length = out->len;
  return g_string_free (out, FALSE);
}
