/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/gl/renderer.h"

#include "app/gl/shader.h"
#include "app/gl/target.h"
#include "engine/scene/look.h"

#include <epoxy/gl.h>
#include <stddef.h>
#include <string.h>

/* Several samples for each pixel smooth edges.  A processor that draws can afford them only
 * for a picture that stays: they double its work. */
#define SAMPLES 4

struct TarnGlRenderer
{
  TarnGlShader shader;
  TarnGlTarget target;
  GLuint array, vertices, indices;
  gboolean software;
  gboolean es;
};

static gboolean
draws_in_software (void)
{
  const char *name = (const char *)glGetString (GL_RENDERER);
  return name == NULL || strstr (name, "llvmpipe") != NULL || strstr (name, "softpipe") != NULL
         || strstr (name, "SwiftShader") != NULL || strstr (name, "Software") != NULL;
}

static void
describe_vertex (void)
{
  GLsizei stride = sizeof (TarnSceneVertex);
  const struct
  {
    GLint size;
    GLenum type;
    GLboolean normalized;
    size_t offset;
  } of[] = {
    [TARN_GL_POSITION] = { 3, GL_FLOAT, GL_FALSE, offsetof (TarnSceneVertex, position_mm) },
    [TARN_GL_NORMAL] = { 3, GL_FLOAT, GL_FALSE, offsetof (TarnSceneVertex, normal) },
    [TARN_GL_COLOUR] = { 4, GL_UNSIGNED_BYTE, GL_TRUE, offsetof (TarnSceneVertex, colour) },
    [TARN_GL_LOOK] = { 4, GL_UNSIGNED_BYTE, GL_TRUE, offsetof (TarnSceneVertex, shade) },
  };
  for (GLuint k = 0; k < G_N_ELEMENTS (of); k++)
    {
      glEnableVertexAttribArray (k);
      glVertexAttribPointer (k, of[k].size, of[k].type, of[k].normalized, stride,
                             (const void *)of[k].offset);
    }
}

TarnGlRenderer *
tarn_gl_renderer_new (GError **error)
{
  gboolean es = !epoxy_is_desktop_gl ();
  int version = epoxy_gl_version ();
  if (version < (es ? 30 : 32))
    {
      g_set_error (error, TARN_GL_ERROR, TARN_GL_ERROR_TOO_OLD, "OpenGL%s %d.%d is too old",
                   es ? " ES" : "", version / 10, version % 10);
      return NULL;
    }
  TarnGlRenderer *renderer = g_new0 (TarnGlRenderer, 1);
  renderer->es = es;
  renderer->software = draws_in_software ();
  if (!tarn_gl_shader_init (&renderer->shader, es, error))
    {
      g_free (renderer);
      return NULL;
    }
  glGenVertexArrays (1, &renderer->array);
  glGenBuffers (1, &renderer->vertices);
  glGenBuffers (1, &renderer->indices);
  glBindVertexArray (renderer->array);
  glBindBuffer (GL_ARRAY_BUFFER, renderer->vertices);
  glBindBuffer (GL_ELEMENT_ARRAY_BUFFER, renderer->indices);
  describe_vertex ();
  glBindVertexArray (0);
  glBindBuffer (GL_ARRAY_BUFFER, 0);
  return renderer;
}

void
tarn_gl_renderer_free (TarnGlRenderer *renderer)
{
  if (renderer == NULL)
    return;
  glDeleteVertexArrays (1, &renderer->array);
  glDeleteBuffers (1, &renderer->vertices);
  glDeleteBuffers (1, &renderer->indices);
  tarn_gl_target_clear (&renderer->target);
  tarn_gl_shader_clear (&renderer->shader);
  g_free (renderer);
}

void
tarn_gl_renderer_forget (TarnGlRenderer *renderer)
{
  g_free (renderer);
}

/* Orphans the buffers and fills them anew. */
static void
stream (const TarnGlRenderer *renderer, const TarnSceneMesh *mesh)
{
  glBindBuffer (GL_ARRAY_BUFFER, renderer->vertices);
  glBufferData (GL_ARRAY_BUFFER, (GLsizeiptr)((size_t)mesh->vertices * sizeof *mesh->vertex),
                mesh->vertex, GL_STREAM_DRAW);
  glBufferData (GL_ELEMENT_ARRAY_BUFFER,
                (GLsizeiptr)((size_t)mesh->indices * sizeof *mesh->index), mesh->index,
                GL_STREAM_DRAW);
}

static void
draw_part (const TarnGlRenderer *renderer, const TarnScenePart *part, gboolean glass)
{
  TarnMaterialLook look = tarn_material_look (part->material);
  gboolean through = tarn_material_shines_through (part->material);
  gboolean as_glass
      = glass
        && (part->material == TARN_MATERIAL_SKIN || part->material == TARN_MATERIAL_DRAPE);
  gboolean blends = as_glass || tarn_material_blends (part->material);

  glUniform3f (renderer->shader.wrap, look.wrap[0], look.wrap[1], look.wrap[2]);
  glUniform1f (renderer->shader.rim, look.rim);
  glUniform1f (renderer->shader.glass, as_glass ? 1.0f : 0.0f);
  (blends ? glEnable : glDisable) (GL_BLEND);
  glDepthMask (!blends);
  (through ? glDisable : glEnable) (GL_DEPTH_TEST);
  (through ? glDisable : glEnable) (GL_CULL_FACE);
  (tarn_material_lies_on (part->material) ? glEnable : glDisable) (GL_POLYGON_OFFSET_FILL);
  glDrawElements (GL_TRIANGLES, part->count, GL_UNSIGNED_INT,
                  (const void *)((size_t)part->first * sizeof (uint32_t)));
}

static void
draw_mesh (const TarnGlRenderer *renderer, const TarnGlFrame *frame)
{
  const TarnGlShader *shader = &renderer->shader;
  glUseProgram (shader->program);
  glUniformMatrix4fv (shader->matrix, 1, GL_FALSE, frame->matrix);
  glUniform3f (shader->eye, (float)frame->eye_mm.x, (float)frame->eye_mm.y,
               (float)frame->eye_mm.z);
  glUniform3f (shader->light, (float)TARN_LIGHT_X, (float)TARN_LIGHT_Y, (float)TARN_LIGHT_Z);
  glUniform3f (shader->dusk, TARN_DUSK_R, TARN_DUSK_G, TARN_DUSK_B);
  glDepthFunc (GL_LEQUAL);
  glFrontFace (GL_CCW);
  glCullFace (GL_BACK);
  glPolygonOffset (-1, -4);
  glBlendFunc (GL_ONE, GL_ONE_MINUS_SRC_ALPHA);
  for (int k = 0; k < frame->mesh->parts; k++)
    draw_part (renderer, &frame->mesh->part[k], frame->mesh->glass);
  glDisable (GL_POLYGON_OFFSET_FILL);
  glDisable (GL_BLEND);
  glDisable (GL_CULL_FACE);
  glDisable (GL_DEPTH_TEST);
  glDepthMask (GL_TRUE);
  glUseProgram (0);
}

gboolean
tarn_gl_renderer_draw (TarnGlRenderer *renderer, const TarnGlFrame *frame, GError **error)
{
  /* Errors of others are not ours. */
  for (int k = 0; k < 8 && glGetError () != GL_NO_ERROR; k++)
    ;
  GLint before = 0;
  glGetIntegerv (GL_FRAMEBUFFER_BINDING, &before);
  int width = MAX (frame->width, 1), height = MAX (frame->height, 1);
  if (!tarn_gl_target_resize (&renderer->target, width, height,
                              renderer->software && !frame->stays ? 0 : SAMPLES, error))
    return FALSE;

  glBindFramebuffer (GL_FRAMEBUFFER, renderer->target.framebuffer);
  glViewport (0, 0, width, height);
  glClearColor (TARN_DUSK_R, TARN_DUSK_G, TARN_DUSK_B, 1);
  glClear (GL_COLOR_BUFFER_BIT | GL_DEPTH_BUFFER_BIT);
  glBindVertexArray (renderer->array);
  if (frame->mesh != NULL && frame->changed)
    stream (renderer, frame->mesh);
  if (frame->mesh != NULL)
    draw_mesh (renderer, frame);
  glBindVertexArray (0);
  glBindBuffer (GL_ARRAY_BUFFER, 0);

  glBindFramebuffer (GL_READ_FRAMEBUFFER, renderer->target.framebuffer);
  glBindFramebuffer (GL_DRAW_FRAMEBUFFER, (GLuint)before);
  glBlitFramebuffer (0, 0, width, height, 0, 0, width, height, GL_COLOR_BUFFER_BIT, GL_NEAREST);
  glBindFramebuffer (GL_FRAMEBUFFER, (GLuint)before);

  GLenum failed = glGetError ();
  if (failed == GL_NO_ERROR)
    return TRUE;
  g_set_error (error, TARN_GL_ERROR, TARN_GL_ERROR_LOST, "OpenGL error 0x%04x", failed);
  return FALSE;
}
