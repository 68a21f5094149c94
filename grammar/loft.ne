# The language of a sheet, one statement a line.
#
# Tokens come from tokens.ts: a Word is a whole name, a Value a number with its unit. Blanks and comments never reach this
# file. Which line may stand where, and which lines belong to which block, is told by blocks.ts.
# A Sign is + or -, a Times is * or /. Each rule that `line` names is also a start by itself: line.ts picks it by the first token.
# Every form has exactly one reading (a property test asks for one result over generated sheets).
# What is built here is the tree of tree.ts; `comment` and the span of a whole line are added by line.ts.

@preprocessor typescript
@{%
import { lexer, over } from './tokens.ts'
export { id }
%}
@lexer lexer

line        -> sheet      {% id %}
             | fact       {% id %}
             | lever      {% id %}
             | figure     {% id %}
             | target     {% id %}
             | aim        {% id %}
             | show       {% id %}
             | table      {% id %}
             | body       {% id %}
             | flight     {% id %}
             | part       {% id %}
             | variants   {% id %}
             | each       {% id %}
             | slot       {% id %}
             | row        {% id %}

# ---- Statements ----

sheet       -> %Sheet %Quoted
                 {% ([, title]) => ({ kind: 'sheet', title: title.text }) %}

fact        -> %Fact name %Equals expression
                 {% ([, name, , value]) => ({ kind: 'fact', name, value, error: null }) %}
             | %Fact name %Equals expression %PlusMinus expression
                 {% ([, name, , value, , error]) => ({ kind: 'fact', name, value, error }) %}

lever       -> %Lever name %From expression %To expression
                 {% ([, name, , from, , to]) => ({ kind: 'lever', name, from, to, step: null }) %}
             | %Lever name %From expression %To expression %In %Steps %Of expression
                 {% ([, name, , from, , to, , , , step]) => ({ kind: 'lever', name, from, to, step }) %}

figure      -> %Figure name %Equals expression
                 {% ([, name, , value]) => ({ kind: 'figure', name, value }) %}

target      -> level expression limit
                 {% ([level, value, limit]) => ({ kind: 'target', level: level.text, value, limit }) %}

level       -> %Must      {% id %}
             | %Should    {% id %}
             | %Could     {% id %}

limit       -> atLeast expression
                 {% ([, value]) => ({ kind: 'at least', value }) %}
             | atMost expression
                 {% ([, value]) => ({ kind: 'at most', value }) %}
             | %Within expression %To expression
                 {% ([, from, , to]) => ({ kind: 'within', from, to }) %}
             | equalTo expression
                 {% ([, value]) => ({ kind: 'equal to', value, tolerance: null }) %}
             | equalTo expression %PlusMinus expression
                 {% ([, value, , tolerance]) => ({ kind: 'equal to', value, tolerance }) %}

atLeast     -> %At %Least
             | %GreaterEqual
atMost      -> %At %Most
             | %LessEqual
equalTo     -> %Equal %To
             | %Equals

aim         -> %Aim sense expression
                 {% ([, sense, value]) => ({ kind: 'aim', sense: sense.text, value }) %}
             | %Aim %Roomiest
                 {% () => ({ kind: 'aim', sense: 'roomiest', value: null }) %}

sense       -> %Least     {% id %}
             | %Most      {% id %}

show        -> %Show reference %In %Unit
                 {% ([, name, , unit]) => ({ kind: 'show', name: { name: name.name, of: name.of }, unit: { text: unit.text, span: unit.span } }) %}

# ---- Blocks ----

table       -> %Table name %Of name
                 {% ([, name, , argument]) => ({ kind: 'table', name, argument, rows: [], file: null }) %}
             | %Table name %Of name %From file
                 {% ([, name, , argument, , file]) => ({ kind: 'table', name, argument, rows: [], file }) %}

row         -> cell
                 {% ([cell]) => ({ kind: 'row', cells: [cell] }) %}
             | row cell
                 {% ([row, cell]) => ({ kind: 'row', cells: [...row.cells, cell] }) %}
             | row %Comma cell
                 {% ([row, , cell]) => ({ kind: 'row', cells: [...row.cells, cell] }) %}

cell        -> number     {% id %}
             | %Sign number
                 {% ([sign, arg]) => ({ kind: 'sign', operator: sign.text, arg, span: over(sign, arg) }) %}

body        -> %Body name
                 {% ([, name]) => ({ kind: 'body', name, slots: [] }) %}

flight      -> %Flight name %From name
                 {% ([, name, , body]) => ({ kind: 'flight', name, body, slots: [], parts: [] }) %}

part        -> %Stage name
                 {% ([, name]) => ({ kind: 'stage', name, slots: [] }) %}
             | %Parachute name
                 {% ([, name]) => ({ kind: 'parachute', name, slots: [] }) %}

slot        -> name %Equals expression
                 {% ([name, , value]) => ({ kind: 'slot', name, value }) %}

variants    -> %Variants
                 {% () => ({ kind: 'variants', name: null, each: [], file: null }) %}
             | %Variants name
                 {% ([, name]) => ({ kind: 'variants', name, each: [], file: null }) %}
             | %Variants %From file
                 {% ([, , file]) => ({ kind: 'variants', name: null, each: [], file }) %}
             | %Variants name %From file
                 {% ([, name, , file]) => ({ kind: 'variants', name, each: [], file }) %}

each        -> %Each varied %Over choices
                 {% ([, name, , values]) => ({ kind: 'over', name, values }) %}
             | %Each varied %From expression %To expression %In %Steps %Of expression
                 {% ([, name, , from, , to, , , , step]) => ({ kind: 'steps', name, from, to, step }) %}

varied      -> reference
                 {% ([reference]) => ({ name: reference.name, of: reference.of }) %}

choices     -> choice
             | choices %Comma choice
                 {% ([choices, , choice]) => [...choices, choice] %}

choice      -> expression {% id %}
             | %Quoted
                 {% ([text]) => ({ kind: 'text', text: text.text, span: text.span }) %}

file        -> %Quoted
                 {% ([text]) => ({ text: text.text, span: text.span }) %}

# ---- Expressions, the loosest first ----

expression  -> %If condition %Then expression %Else expression
                 {% ([first, test, , yes, , no]) => ({ kind: 'if', test, yes, no, span: over(first, no) }) %}
             | sum        {% id %}

sum         -> sum %Sign product
                 {% ([left, operator, right]) => ({ kind: 'binary', operator: operator.text, left, right, span: over(left, right) }) %}
             | product    {% id %}

product     -> product %Times signed
                 {% ([left, operator, right]) => ({ kind: 'binary', operator: operator.text, left, right, span: over(left, right) }) %}
             | signed     {% id %}

signed      -> %Sign signed
                 {% ([sign, arg]) => ({ kind: 'sign', operator: sign.text, arg, span: over(sign, arg) }) %}
             | power      {% id %}

power       -> atom %Power signed
                 {% ([left, , right]) => ({ kind: 'binary', operator: '^', left, right, span: over(left, right) }) %}
             | atom       {% id %}

atom        -> number     {% id %}
             | reference  {% id %}
             | call       {% id %}
             | %Open expression %Close
                 {% ([open, inside, close]) => ({ ...inside, span: over(open, close) }) %}

number      -> %Value
                 {% ([token]) => ({ kind: 'number', text: token.text, value: token.value, unit: token.unit, span: token.span }) %}

reference   -> name
                 {% ([name]) => ({ kind: 'reference', name, of: null, span: name.span }) %}
             | name %Of name
                 {% ([name, , of]) => ({ kind: 'reference', name, of, span: over(name, of) }) %}

call        -> name arguments
                 {% ([name, args]) => ({ kind: 'call', name, of: null, args: args.values, span: over(name, args) }) %}
             | name arguments %Of name
                 {% ([name, args, , of]) => ({ kind: 'call', name, of, args: args.values, span: over(name, of) }) %}
             | name %Of name arguments
                 {% ([name, , of, args]) => ({ kind: 'call', name, of, args: args.values, span: over(name, args) }) %}

arguments   -> %Open values %Close
                 {% ([open, values, close]) => ({ values, span: over(open, close) }) %}

values      -> expression
             | values %Comma expression
                 {% ([values, , value]) => [...values, value] %}

name        -> %Word
                 {% ([token]) => ({ text: token.text, span: token.span }) %}

# ---- Conditions ----

condition   -> condition %Or both
                 {% ([left, , right]) => ({ kind: 'either', left, right, span: over(left, right) }) %}
             | both       {% id %}

both        -> both %And negation
                 {% ([left, , right]) => ({ kind: 'both', left, right, span: over(left, right) }) %}
             | negation   {% id %}

negation    -> %Not negation
                 {% ([first, arg]) => ({ kind: 'not', arg, span: over(first, arg) }) %}
             | %Open condition %Close
                 {% ([open, inside, close]) => ({ ...inside, span: over(open, close) }) %}
             | sum comparison sum
                 {% ([left, operator, right]) => ({ kind: 'compare', operator: operator.text, left, right, span: over(left, right) }) %}

comparison  -> %Less         {% id %}
             | %LessEqual    {% id %}
             | %Greater      {% id %}
             | %GreaterEqual {% id %}
             | %Equals       {% id %}
