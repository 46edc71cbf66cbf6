/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/gl/shader.h"

G_DEFINE_QUARK (tarn - gl - error - quark, tarn_gl_error)

/* Diffuse light is found for each vertex, highlights for each pixel: with a processor that
 * draws, pixels are dear.  Colours are squared and their roots taken again: near enough to
 * sRGB's curve, and cheap. */
static const char vertex_text[]
    = "in vec3 position;\n"
      "in vec3 normal;\n"
      "in vec4 colour;\n"
      "in vec4 look;\n"
      "uniform mat4 matrix;\n"
      "uniform vec3 eye;\n"
      "uniform vec3 light;\n"
      "uniform vec3 wrap;\n"
      "uniform float rim;\n"
      "out vec3 lit;\n"
      "out vec3 n;\n"
      "out vec3 h;\n"
      "out vec4 rest;\n" /* opacity, shine by shade, dim, edge */
      "void main ()\n"
      "{\n"
      "  vec3 v = normalize (eye - position);\n"
      "  float shade = look.x;\n"
      "  float facing = dot (normal, v);\n"
      "  vec3 key = clamp ((vec3 (dot (normal, light)) + wrap) / (vec3 (1.0) + wrap), 0.0, "
      "1.0);\n"
      "  float up = 0.5 - 0.5 * normal.y;\n"
      "  vec3 around = mix (vec3 (0.088, 0.064, 0.058), vec3 (0.190, 0.176, 0.182), up);\n"
      "  float edge = 1.0 - clamp (facing, 0.0, 1.0);\n"
      "  vec3 sum = key * vec3 (0.90, 0.83, 0.76) * shade\n"
      "    + around * mix (0.45, 1.0, shade)\n"
      "    + vec3 (0.10, 0.095, 0.09) * clamp (facing, 0.0, 1.0);\n"
      "  vec3 base = colour.rgb * colour.rgb;\n"
      "  lit = base * sum + rim * edge * edge * edge * (0.3 + 0.7 * up)\n"
      "    * vec3 (0.62, 0.70, 0.86) * mix (0.3, 1.0, shade);\n"
      "  n = normal;\n"
      "  h = normalize (v + light);\n"
      "  rest = vec4 (colour.a, look.y, look.z, shade);\n"
      "  gl_Position = matrix * vec4 (position, 1.0);\n"
      "}\n";

static const char fragment_text[]
    = "in vec3 lit;\n"
      "in vec3 n;\n"
      "in vec3 h;\n"
      "in vec4 rest;\n"
      "uniform vec3 dusk;\n"
      "uniform float glass;\n"
      "out vec4 pixel;\n"
      "void main ()\n"
      "{\n"
      "  float shine = rest.y;\n"
      "  float s = max (dot (n, h), 0.0) * inversesqrt (max (dot (n, n) * dot (h, h), 1e-6));\n"
      "  float peak = pow (s, 10.0 + 170.0 * shine * shine);\n"
      "  float gloss = shine * (0.10 + 0.95 * shine * shine) * peak * mix (0.25, 1.0, "
      "rest.w);\n"
      "  vec3 c = sqrt (lit);\n"
      "  float a = mix (rest.x, min (1.0, rest.x * 2.6), glass * (1.0 - rest.x) * peak);\n"
      "  vec3 out_c = c * a + vec3 (1.0, 0.985, 0.96) * gloss;\n"
      "  pixel = vec4 (mix (out_c, dusk * a, rest.z), min (1.0, a + gloss * (1.0 - rest.z)));\n"
      "}\n";

static GLuint
compile (GLenum kind, gboolean es, const char *text, GError **error)
{
  const char *pieces[2]
      = { es ? "#version 300 es\nprecision highp float;\n" : "#version 150\n", text };
  GLuint shader = glCreateShader (kind);
  GLint done = GL_FALSE;
  if (shader != 0)
    {
      glShaderSource (shader, 2, pieces, NULL);
      glCompileShader (shader);
      glGetShaderiv (shader, GL_COMPILE_STATUS, &done);
    }
  if (done != GL_TRUE)
    {
      char log[512] = "";
      if (shader != 0)
        glGetShaderInfoLog (shader, sizeof log, NULL, log);
      g_set_error (error, TARN_GL_ERROR, TARN_GL_ERROR_SHADER, "shader: %s", log);
      glDeleteShader (shader);
      return 0;
    }
  return shader;
}

static gboolean
link_program (TarnGlShader *shader, GLuint vertex, GLuint fragment, GError **error)
{
  shader->program = glCreateProgram ();
  glAttachShader (shader->program, vertex);
  glAttachShader (shader->program, fragment);
  glBindAttribLocation (shader->program, TARN_GL_POSITION, "position");
  glBindAttribLocation (shader->program, TARN_GL_NORMAL, "normal");
  glBindAttribLocation (shader->program, TARN_GL_COLOUR, "colour");
  glBindAttribLocation (shader->program, TARN_GL_LOOK, "look");
  glLinkProgram (shader->program);
  GLint done = GL_FALSE;
  glGetProgramiv (shader->program, GL_LINK_STATUS, &done);
  glDetachShader (shader->program, vertex);
  glDetachShader (shader->program, fragment);
  if (done == GL_TRUE)
    return TRUE;
  char log[512] = "";
  glGetProgramInfoLog (shader->program, sizeof log, NULL, log);
  g_set_error (error, TARN_GL_ERROR, TARN_GL_ERROR_SHADER, "shader program: %s", log);
  return FALSE;
}

gboolean
tarn_gl_shader_init (TarnGlShader *shader, gboolean es, GError **error)
{
  *shader = (TarnGlShader){ 0 };
  GLuint vertex = compile (GL_VERTEX_SHADER, es, vertex_text, error);
  if (vertex == 0)
    return FALSE;
  GLuint fragment = compile (GL_FRAGMENT_SHADER, es, fragment_text, error);
  if (fragment == 0)
    {
      glDeleteShader (vertex);
      return FALSE;
    }
  gboolean linked = link_program (shader, vertex, fragment, error);
  glDeleteShader (vertex);
  glDeleteShader (fragment);
  if (!linked)
    {
      tarn_gl_shader_clear (shader);
      return FALSE;
    }
  shader->matrix = glGetUniformLocation (shader->program, "matrix");
  shader->eye = glGetUniformLocation (shader->program, "eye");
  shader->light = glGetUniformLocation (shader->program, "light");
  shader->dusk = glGetUniformLocation (shader->program, "dusk");
  shader->wrap = glGetUniformLocation (shader->program, "wrap");
  shader->rim = glGetUniformLocation (shader->program, "rim");
  shader->glass = glGetUniformLocation (shader->program, "glass");
  return TRUE;
}

void
tarn_gl_shader_clear (TarnGlShader *shader)
{
  if (shader->program != 0)
    glDeleteProgram (shader->program);
  *shader = (TarnGlShader){ 0 };
}
