/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * class_folder.h: for tests: a folder of patients that can be changed, and waiting for a list
 * to have read it. */
#pragma once

#include "app/patient_list.h"

/* A new empty folder; class_folder_remove () it. */
char *class_folder_new (void);
void class_folder_remove (char *folder);
/* Writes a patient that can be used; its id is @name.  @extra: lines for [Anatomy], or "". */
void class_folder_add (const char *folder, const char *name, const char *title,
                       const char *extra);
/* Writes anything. */
void class_folder_write (const char *folder, const char *file_name, const char *text);
void class_folder_delete (const char *folder, const char *file_name);

/* Lets the main loop run until the list has read its folders. */
void list_wait (TarnPatientList *list);
/* The same until it has so many patients; fails after some seconds. */
void list_wait_for (TarnPatientList *list, guint count);
TarnPatientItem *list_item (TarnPatientList *list, guint position); /* belongs to the list */
