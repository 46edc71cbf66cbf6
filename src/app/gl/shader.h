/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * shader.h: the one shader, and what it is told.  Private to app/gl. */
#pragma once

#include <epoxy/gl.h>
#include <glib.h>

#define TARN_GL_ERROR (tarn_gl_error_quark ())
GQuark tarn_gl_error_quark (void);
typedef enum
{
  TARN_GL_ERROR_TOO_OLD,
  TARN_GL_ERROR_SHADER,
  TARN_GL_ERROR_TARGET,
  TARN_GL_ERROR_LOST
} TarnGlError;

/* Attributes of a vertex, by place. */
enum
{
  TARN_GL_POSITION,
  TARN_GL_NORMAL,
  TARN_GL_COLOUR,
  TARN_GL_LOOK /* shade, shine, dim */
};

typedef struct
{
  GLuint program;
  GLint matrix, eye, light, dusk, wrap, rim, glass;
} TarnGlShader;

/* A context must be current.  @es: of OpenGL ES.  Returns FALSE with @error set and nothing
 * made. */
gboolean tarn_gl_shader_init (TarnGlShader *shader, gboolean es, GError **error);
void tarn_gl_shader_clear (TarnGlShader *shader);
