// Writes exceljs.xlsx: the plain table in the 1904 date system, with shared strings, rich text and formulas with cached values.
const ExcelJS = require('exceljs');
const book = new ExcelJS.Workbook();
book.properties.date1904 = true;
book.creator = 'fixture';
book.created = book.modified = new Date(Date.UTC(2026, 0, 1));
const sheet = book.addWorksheet('Tabelle1');
sheet.addRow(['handle', 'maker', 'Name', 'Diameter, in', 'mass_g', 'Delay [s]', 'Nozzle throat', 'measured_on', 'Certified until', 'curve', 'Notes']);
const a = sheet.addRow(['birch-38', 'Überholz', 'Birch 38', 1.5, { formula: 'D2*823', result: 1234.5 }, '3/5.5/7', '3/32"', 'new', new Date(Date.UTC(2028, 2, 31)), '0:0 0.1:12.5 1.2:0',
  { richText: [{ text: 'first line\n' }, { font: { bold: true }, text: 'second, line' }] }]);
sheet.addRow([]);
const b = sheet.addRow(['larch-29', { formula: 'B2', result: 'Überholz' }, '"Larch" 29', 1.125, null, null, '#52', 'fired', new Date(Date.UTC(2027, 11, 17))]);
for (const r of [a, b]) r.getCell(9).numFmt = 'mmm d, yyyy';
book.xlsx.writeFile('exceljs.xlsx');
